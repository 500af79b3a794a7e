/* The sounds: a tone between a struck string and an electric piano, and a tap of wood.
 *
 *   transposary.tone(context, target) gives { play(event, time) } on an audio context
 *   transposary.output(context, volume) gives the gain that leads to its loudspeaker
 *
 * Why made here: recorded notes would weigh megabytes. A tone is one sine that is bent by another
 * of the same pitch (frequency modulation); the bending fades as a string mellows. A second pair,
 * an octave higher and a shade sharp as stiff strings are, gives the bite of the attack. Low
 * tones ring longer and have more overtones, so that small loudspeakers still tell their pitch.
 */
(function () {
  "use strict";

  const TAP = 0.05; // seconds
  const ATTACK = 0.004;
  const RELEASE = 0.07;
  const STIFF = 1.0015;
  const LIFT = 1.8;

  const hertz = (midi) => 440 * 2 ** ((midi - 69) / 12);

  // A short noise that is always the same, since a page that is loaded twice should sound so.
  function noise(context) {
    const buffer = context.createBuffer(1, Math.ceil(context.sampleRate * TAP), context.sampleRate);
    const samples = buffer.getChannelData(0);
    let state = 1;
    for (let place = 0; place < samples.length; place++) {
      state = (state * 16807) % 2147483647;
      samples[place] = (state / 1073741823.5 - 1) * Math.exp(-place / (samples.length / 7));
    }
    return buffer;
  }

  function tone(context, target) {
    const taps = noise(context);

    function level(value, time, peak, fade) {
      value.setValueAtTime(0, time);
      value.linearRampToValueAtTime(peak, time + ATTACK);
      value.setTargetAtTime(0, time + ATTACK, fade);
    }

    // A sine bent by another, into `out`.
    function bent(out, frequency, times, { depth, fade, peak, ring }) {
      const [time, end] = times;
      const sine = new OscillatorNode(context, { frequency });
      const bender = new OscillatorNode(context, { frequency });
      const bend = new GainNode(context, { gain: 0 });
      const loud = new GainNode(context, { gain: 0 });
      bend.gain.setValueAtTime(depth * frequency, time);
      bend.gain.setTargetAtTime(0.18 * depth * frequency, time, fade);
      level(loud.gain, time, peak, ring);
      bender.connect(bend).connect(sine.frequency);
      sine.connect(loud).connect(out);
      for (const one of [sine, bender]) {
        one.start(time);
        one.stop(end);
      }
      return sine;
    }

    function note({ midi, velocity, length }, time) {
      const frequency = hertz(midi);
      const force = velocity / 127;
      const low = Math.min(1, Math.max(0, (72 - midi) / 40));
      const ring = 0.5 + 1.9 * Math.min(1, Math.max(0, (96 - midi) / 60));
      const stop = time + Math.max(length, 0.06);
      const end = stop + 6 * RELEASE;
      const hold = new GainNode(context, { gain: 1 });
      hold.gain.setValueAtTime(1, stop);
      hold.gain.setTargetAtTime(0, stop, RELEASE);
      hold.connect(target);
      const body = { depth: (0.7 + 1.1 * low) * (0.4 + force), fade: 0.35, peak: 0.26 * force * force + 0.03, ring };
      const bite = { depth: 1.1 * force, fade: 0.05, peak: 0.07 * force, ring: 0.12 + 0.25 * low };
      bent(hold, 2 * STIFF * frequency, [time, Math.min(end, time + 1.5)], bite);
      bent(hold, frequency, [time, end], body).onended = () => hold.disconnect();
    }

    function click({ accent }, time) {
      const source = new AudioBufferSourceNode(context, { buffer: taps });
      const wood = new BiquadFilterNode(context, { type: "bandpass", frequency: accent ? 2300 : 1500, Q: 2.5 });
      const loud = new GainNode(context, { gain: accent ? 0.9 : 0.55 });
      source.connect(wood).connect(loud).connect(target);
      source.onended = () => loud.disconnect();
      source.start(time);
    }

    return { play: (event, time) => (event.kind === "click" ? click : note)(event, time) };
  }

  // Single notes are lifted and full chords held back, so that neither is lost nor too loud.
  function output(context, volume) {
    const into = new GainNode(context, { gain: LIFT * volume });
    const mellow = new BiquadFilterNode(context, { type: "lowpass", frequency: 6500, Q: 0.3 });
    const even = new DynamicsCompressorNode(context, { threshold: -24, ratio: 8, attack: 0.002, release: 0.2 });
    const out = new GainNode(context, { gain: 0.75 });
    into.connect(mellow).connect(even).connect(out).connect(context.destination);
    return into;
  }

  Object.assign(transposary, { tone, output, LIFT });
})();
