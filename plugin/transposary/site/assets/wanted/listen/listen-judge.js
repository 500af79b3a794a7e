/* What was played beside what is written. Pure functions.
 *
 *   transposary.judge.moments(data, slot)      what is struck at once: [{ onset, notes: [index], midi: [number] }]
 *   transposary.judge.follow(moments, presses) presses: [{ midi, time }], the time in seconds or null
 *
 * A press is right where the moment at hand wants it. One that only the next moment wants goes on
 * to it, and what was left is missed. Anything else is wrong, and said with the moment at hand. Late
 * is what comes a quarter of a beat behind the reader's own steady tempo: the median of the
 * slopes between all moments, which one slip does not move.
 */
(function () {
  "use strict";

  const LATE = 0.25;
  const ENOUGH = 4;

  const moments = (data, slot) =>
    transposary.moments(data).map((one) => ({ ...one, midi: one.notes.map((index) => data.keys[slot].midi[index]) }));

  const median = (numbers) => numbers.sort((one, other) => one - other)[(numbers.length - 1) >> 1];

  // Seconds of a quarter note and where the first downbeat was; null where too little was played.
  function pace(timed) {
    if (timed.length < ENOUGH) return null;
    const slopes = [];
    timed.forEach((one, at) => {
      for (const other of timed.slice(at + 1)) slopes.push((other.time - one.time) / (other.onset - one.onset));
    });
    const quarter = median(slopes);
    return { quarter, start: median(timed.map(({ time, onset }) => time - onset * quarter)) };
  }

  function follow(wanted, presses, beat = 1) {
    const states = wanted.map(({ onset, notes, midi }) => ({ onset, notes, midi, hit: new Set(), wrong: [], time: null, late: 0 }));
    let at = 0;
    const left = (state) => state.midi.filter((midi) => !state.hit.has(midi));
    for (const { midi, time } of presses) {
      if (at === states.length) break;
      const next = states[at + 1];
      if (!left(states[at]).includes(midi) && next && next.midi.includes(midi)) at += 1;
      const state = states[at];
      if (left(state).includes(midi)) {
        state.hit.add(midi);
        state.time ??= time;
      } else if (!state.hit.has(midi)) state.wrong.push(midi);
      if (!left(state).length) at += 1;
    }
    const timed = states.filter(({ time }) => time !== null);
    const steady = pace(timed);
    if (steady) {
      for (const state of timed) {
        const behind = (state.time - steady.start) / steady.quarter - state.onset;
        if (behind > LATE * beat) state.late = behind / beat;
      }
    }
    return { states, at, done: at === states.length };
  }

  transposary.judge = { moments, follow };
})();
