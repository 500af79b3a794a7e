/* The player: sounds rounds of a device on the audio clock. One on a page, so that nothing ever
 * sounds twice at once.
 *
 *   transposary.hear.start({ section, data, slot, options, counted, following })
 *   transposary.hear.change(options)   goes on at the same place with other options
 *   transposary.hear.stop()
 *   transposary.hear.sound(midi)       one note, where nothing plays
 *   transposary.hear.volume(part)      0 to 1
 *   transposary.hear.audio()           wakes the browser's audio, which takes a moment the first time
 *
 * `following({ slot, options, round })` is asked what comes after each round: the same with
 * changes, or null for the end. Messages: `sounding` and `stopped` as in base.js; `round`
 * {section, slot, options, round} when a round begins to sound.
 */
(function () {
  "use strict";

  const { countIn, plan, rounds, tell } = transposary;
  const SOON = 0.05; // seconds from the press to the first sound
  const AHEAD = 0.25; // seconds; a page in the background is woken once a second
  const AHEAD_HIDDEN = 1.6;
  const EVERY = 25; // milliseconds
  const FADE = 0.015; // seconds
  const RING = 0.3; // seconds that the last tone has to fade

  let context = null;
  let master = null;
  let loudness = 0.6;
  let run = null;

  // Made at the first press: browsers keep a page silent until then.
  function audio() {
    if (!context) {
      context = new AudioContext({ latencyHint: "interactive" });
      master = transposary.output(context, loudness);
    }
    return context.state === "suspended" ? context.resume() : Promise.resolve();
  }

  function volume(part) {
    loudness = part;
    if (master) master.gain.setTargetAtTime(transposary.LIFT * part, context.currentTime, FADE);
  }

  // Everything that a run has scheduled goes through one gain, which ends it all.
  function bus() {
    const out = new GainNode(context);
    out.connect(master);
    return out;
  }

  function silence(out) {
    out.gain.setTargetAtTime(0, context.currentTime, FADE);
    setTimeout(() => out.disconnect(), 200);
  }

  // What a plan is of goes along with it, to be told when it sounds.
  const made = (request, about) => ({ ...plan(request.data, about.slot, about.options), about });

  function following(request) {
    return ({ about }) => {
      if (!about) return made(request, { slot: request.slot, options: request.options, round: 1 });
      const next = request.following?.(about);
      return next ? made(request, { ...about, ...next, round: about.round + 1 }) : null;
    };
  }

  async function start(request) {
    stop();
    const mine = { request, out: null, line: null, from: 0, told: null, mark: null };
    run = mine;
    await audio();
    // Stopped or started anew while the browser woke up.
    if (run !== mine) return;
    const next = following(request);
    begin(mine, rounds(request.counted ? countIn(request.data, request.options) : next({}), next), SOON);
    mine.timer = setInterval(feed, EVERY);
    follow();
  }

  function begin(mine, line, wait) {
    Object.assign(mine, { line, out: bus(), from: context.currentTime + wait, mark: null });
    mine.tone = transposary.tone(context, mine.out);
    feed();
  }

  function feed() {
    const { line, tone, from } = run;
    const ahead = document.hidden ? AHEAD_HIDDEN : AHEAD;
    for (const event of line.take(context.currentTime - from + ahead)) tone.play(event, from + event.time);
  }

  // Tells what the reader hears now, which is a little later than what the clock says.
  function follow() {
    const mine = run;
    if (!mine) return;
    const now = context.currentTime - mine.from - (context.outputLatency || 0);
    if (mine.line.ended(now - RING)) {
      stop();
      return;
    }
    const { start: begun, plan: playing } = mine.line.spanAt(now);
    const { section } = mine.request;
    if (playing.about && playing !== mine.told && now >= begun) {
      mine.told = playing;
      tell("round", { section, ...playing.about });
    }
    const mark = playing.marks.findLast(({ time }) => time <= now - begun) || null;
    if (mark && mark !== mine.mark) {
      mine.mark = mark;
      tell("sounding", { section, slot: playing.slot, notes: mark.notes, symbol: mark.symbol });
    }
    if (run === mine) requestAnimationFrame(follow);
  }

  // Goes on from the same place of the music, now with other options.
  function change(options) {
    if (!run?.line) return;
    const mine = run;
    mine.request = { ...mine.request, options: { ...mine.request.options, ...options } };
    const now = context.currentTime - mine.from;
    const { start: begun, plan: playing } = mine.line.spanAt(now);
    const next = following(mine.request);
    silence(mine.out);
    if (!playing.about) {
      begin(mine, rounds(countIn(mine.request.data, mine.request.options), next), SOON);
      return;
    }
    const other = made(mine.request, { ...playing.about, options: { ...playing.about.options, ...options } });
    const part = Math.max(0, (now - begun) / playing.length);
    begin(mine, rounds(other, next, part * other.length), 0.01);
    mine.told = other;
  }

  function stop() {
    if (!run) return;
    const { out, timer, request } = run;
    run = null;
    clearInterval(timer);
    if (out) silence(out);
    tell("stopped", { section: request.section });
  }

  async function sound(midi) {
    if (run) return;
    await audio();
    if (run) return;
    const struck = { kind: "note", midi, velocity: 80, length: 0.6 };
    transposary.tone(context, master).play(struck, context.currentTime + 0.005);
  }

  const playing = () => run?.request.section || null;

  window.addEventListener("pagehide", stop);
  transposary.hear = { audio, start, stop, change, sound, volume, playing };
})();
