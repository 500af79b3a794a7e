/* What a reader types to find a device, read into something that can be compared.
 *
 * Why here: the page has to say at once what it understood, or what it expected. How chord
 * symbols begin comes from the index; what changes the tones behind that stands below.
 *
 * `transposary.find.read(text, kind, suffixes)` gives {kind, items, others}, or {fault}:
 *   items    degrees, notes: {mask, text}, a bit for each semitone over the tonic, or over C
 *            chords, numerals: {root, mask, bass, text}, the bass null where none is asked for
 *            rhythm: one list of places for each bar, in 48ths of a beat
 *   others   the kinds that the text could mean as well
 * Without a kind the first that can be read is meant.
 */
(function () {
  "use strict";

  const LETTERS = { C: 0, D: 2, E: 4, F: 5, G: 7, A: 9, B: 11 };
  const MAJOR = [0, 2, 4, 5, 7, 9, 11];
  const ROMAN = ["i", "ii", "iii", "iv", "v", "vi", "vii"];
  // Parts of a beat in 48ths; theory/beats.py says where the words come from.
  const SYLLABLES = {
    "": 0, e: 12, "&": 24, and: 24, a: 36, trip: 16, let: 32, la: 16, li: 32,
    tripta: 24, letta: 40, lata: 24, lita: 40,
  };
  const EXAMPLES = {
    degrees: "degrees such as 1 2 b3 3",
    notes: "note names such as G A Bb B",
    chords: "chords such as Dm7 G7",
    numerals: "numerals such as ii7 V7",
    rhythm: "a counted rhythm such as 1 2& 4",
  };
  const LONGEST = 32;

  class Unread extends Error {
    constructor(at, word) {
      super(word);
      this.at = at;
    }
  }

  const { modulo } = transposary;
  const bit = (semitones) => 1 << modulo(semitones, 12);
  const bend = (signs) => [...signs].reduce((sum, sign) => sum + { b: -1, "#": 1, x: 2 }[sign], 0);

  // Words of a text with where they stand; `(…)` is one word, `|` parts bars.
  function words(text) {
    return [...text.matchAll(/\([^()]*\)|\||[^\s|]+/g)].map((match) => ({ text: match[0], at: match.index }));
  }

  function grouped(text, semitonesOf) {
    const items = [];
    for (const word of words(text)) {
      if (word.text === "|") continue;
      const together = /^\((.*)\)$/.exec(word.text);
      const names = (together ? together[1] : word.text).split(/\s+/).filter(Boolean);
      let mask = 0;
      for (const name of names) {
        const semitones = semitonesOf(name);
        if (semitones === null) throw new Unread(word.at, name);
        mask |= bit(semitones);
      }
      if (!mask) throw new Unread(word.at, word.text);
      items.push({ mask, text: word.text });
    }
    return items;
  }

  function degree(name) {
    const match = /^(b{0,2}|#{0,2})(1[0-3]|[1-9])$/.exec(name);
    return match ? MAJOR[(match[2] - 1) % 7] + bend(match[1]) : null;
  }

  function note(name) {
    const match = /^([A-Ga-g])(bb?|##?|x)?$/.exec(name);
    return match ? LETTERS[match[1].toUpperCase()] + bend(match[2] || "") : null;
  }

  // A suffix with one way to write each thing, the parentheses taken off.
  function plain(suffix) {
    return suffix
      .replace(/[Δ△]/g, "^").replace(/[°º]/g, "o").replace("Ø", "ø").replace(/[−–]/g, "-")
      .replace("6/9", "69")
      .replace(/\(([^()]*)\)/g, (_, inside) => inside.replace(/(^|[,\s])(?=\d)/g, "$1add").replace(/[,\s]/g, ""))
      .replace(/^(?:min|Min|MIN|mi|Mi|MI|m(?!a)|-)/, "m")
      .replace(/^m7b5/, "ø7").replace(/^m9b5/, "ø9").replace(/^m11b5/, "ø11")
      .replace(/^(?:dim|Dim)/, "o").replace(/^aug/, "+").replace(/^(7|9)\+/, "+$1")
      .replace(/^([mo+]?)\/?(?:maj|Maj|MAJ|Ma|MA|ma(?!dd)|M|\^)(?=[^a-z]|$)/, "$1maj")
      .replace(/^\^?maj$/, (all) => (/[\^Δ△]/.test(suffix) ? "maj7" : all))
      .replace(/^sus(13|9|7)/, "$1sus");
  }

  const ITEM = /^(?:(sus)(24|2|4)?|(alt)|(?:no|omit)(\d+)|add([b#]?)(\d+)|([b#+-])(13|11|9|6|5|4)|(\+))/;

  function changed(mask, match, tall) {
    const [, sus, by, alt, without, sign, added, alteration, number, raised] = match;
    if (sus) {
      mask &= ~(bit(3) | bit(4));
      return mask | (by === "2" ? bit(2) : by === "24" ? bit(2) | bit(5) : bit(5));
    }
    if (alt) return [0, 1, 3, 4, 6, 8, 10].reduce((sum, tone) => sum | bit(tone), 0);
    if (without) return mask & ~{ 3: bit(3) | bit(4), 5: bit(6) | bit(7) | bit(8) }[without];
    if (added) return mask | bit(MAJOR[(added - 1) % 7] + bend(sign));
    const step = raised ? 5 : Number(number);
    const natural = MAJOR[(step - 1) % 7];
    // An altered thirteenth or eleventh takes the natural one's place only where that is stacked.
    if (step === 5 || step === 9 || tall) mask &= ~bit(natural);
    return mask | bit(natural + (raised || "#+".includes(alteration) ? 1 : -1));
  }

  // The tones of a suffix as bits, or null.
  function tones(suffix, heads) {
    let rest = plain(suffix);
    let head = "";
    for (let end = Math.min(rest.length, 6); end > 0 && !head; end -= 1) {
      if (rest.slice(0, end) in heads) head = rest.slice(0, end);
    }
    rest = rest.slice(head.length);
    let mask = heads[head];
    // "7alt" and "alt" say the same; so do "sus" behind a seventh and before it.
    while (rest) {
      const match = ITEM.exec(rest);
      if (!match || (match[4] && !"35".includes(match[4]))) return null;
      mask = changed(mask, match, /1[13]$/.test(head));
      rest = rest.slice(match[0].length);
    }
    return mask;
  }

  function chords(text, heads) {
    return words(text).filter((word) => word.text !== "|" && word.text !== "/").map((word) => {
      const match = /^([A-G](?:bb?|##?)?)(.*?)(?:\/([A-G](?:b|#)?))?$/.exec(word.text);
      const mask = match && tones(match[2], heads);
      if (!match || mask === null) throw new Unread(word.at, word.text);
      const root = modulo(note(match[1]), 12);
      const bass = match[3] ? modulo(note(match[3]), 12) : null;
      return { root, mask, bass: bass === root ? null : bass, text: word.text };
    });
  }

  function numeral(word, heads) {
    const match = /^(b*|#*)(vii|vi|iv|v|iii|ii|i|VII|VI|IV|V|III|II|I)(.*)$/.exec(word);
    if (!match) return null;
    const [figure, ...slashed] = match[3].replace("6/9", "69").split("/");
    const small = match[2] === match[2].toLowerCase();
    const own = /^(?:o|dim|ø|°)/.test(figure);
    if ((own && !small) || /^(?:m(?!aj)|-)/.test(figure) || (small && /^[+5]|sus/.test(figure))) return null;
    const mask = tones(small && !own ? `m${figure}` : figure, heads);
    if (mask === null) return null;
    let root = MAJOR[ROMAN.indexOf(match[2].toLowerCase())] + bend(match[1]);
    let bass = null;
    for (const [place, part] of slashed.entries()) {
      const as = place === slashed.length - 1 ? degree(part) : null;
      const aim = as === null ? numeral(part, heads) : null;
      if (as === null && !aim) return null;
      if (as === null) root += aim.root;
      else bass = modulo(as, 12);
    }
    root = modulo(root, 12);
    return { root, mask, bass: bass === root ? null : bass, text: word };
  }

  function numerals(text, heads) {
    const parted = text.replace(/[-–](?=[b#]?[IViv])/g, " ");
    return words(parted).filter((word) => word.text !== "|").map((word) => {
      const found = numeral(word.text, heads);
      if (!found) throw new Unread(word.at, word.text);
      return found;
    });
  }

  function rhythm(text) {
    const bars = [[]];
    let beat = 0;
    let third = 0;
    for (const word of words(text.trim().replace(/^\||\|$/g, ""))) {
      if (word.text === "|") {
        bars.push([]);
        beat = third = 0;
        continue;
      }
      const match = /^(\d{0,2})(?:\+(\d+)\/([1-9]\d*)|([a-z]*|&))$/.exec(word.text);
      const part = match && (match[2] ? (48 * match[2]) / match[3] : match[4] === "ta" ? third + 8 : SYLLABLES[match[4]]);
      if (match && match[1]) beat = Number(match[1]);
      const place = Math.round((beat - 1) * 48 + part);
      const own = bars.at(-1);
      // NaN where the word is none, and each place comes behind the one before it.
      if (!match || !beat || !(part < 48) || (own.length && place <= own.at(-1))) throw new Unread(word.at, word.text);
      third = Math.floor(part / 16) * 16;
      own.push(place);
    }
    if (!bars.some((bar) => bar.length)) throw new Unread(0, text);
    return bars;
  }

  const READERS = {
    degrees: (text) => grouped(text, degree),
    notes: (text) => grouped(text, note),
    chords,
    numerals,
    rhythm,
  };

  function attempt(kind, text, heads) {
    try {
      const items = READERS[kind](text, heads);
      return { kind, items, at: text.length };
    } catch (error) {
      if (!(error instanceof Unread)) throw error;
      return { kind, items: null, at: error.at, word: error.message };
    }
  }

  function unread(kind, tried) {
    const furthest = tried.reduce((best, one) => (one.at > best.at ? one : best));
    const expected = kind
      ? EXAMPLES[kind]
      : Object.values(EXAMPLES).join(", ").replace(/, (?=a counted)/, ", or ");
    return `“${furthest.word}” cannot be read. Expected ${expected}.`;
  }

  function read(text, kind, heads) {
    const clean = text.replace(/♭/g, "b").replace(/♯/g, "#").replace(/[,;]/g, (sign, at, all) => {
      // A comma inside the parentheses of a chord symbol belongs to it.
      return all.lastIndexOf("(", at) > all.lastIndexOf(")", at) ? sign : " ";
    });
    const tried = Object.keys(READERS).map((name) => attempt(name, clean, heads));
    const could = tried.filter((one) => one.items && one.items.length);
    const found = kind ? could.find((one) => one.kind === kind) : could[0];
    if (!found) return { fault: unread(kind, kind ? tried.filter((one) => one.kind === kind) : tried) };
    if (found.items.length > LONGEST) return { fault: `That is long: expected at most ${LONGEST} words.` };
    const others = could.map((one) => one.kind).filter((name) => name !== found.kind);
    return { kind: found.kind, items: found.items, others };
  }

  transposary.find = { ...transposary.find, read, tones };
})();
