/* A MIDI keyboard, for whichever page wants to listen to one.
 *
 * Why here: browsers ask the reader's leave before they give a keyboard away, so that a page asks
 * only when the reader has pressed something, and only once.
 *
 * `transposary.midi.there` tells whether the browser could. `transposary.midi.open(listen)` gives
 * a promise of the names of the keyboards, and then calls listen({midi, on, velocity, time}) for
 * each key that goes down or up; the time is that of `performance.now()`. It rejects where leave
 * is refused. Keyboards that are plugged in later are heard, too.
 */
(function () {
  "use strict";

  const DOWN = 0x90;
  const UP = 0x80;
  const listeners = new Set();
  let access = null;

  function receive(event) {
    const [status, midi, velocity] = event.data;
    const kind = status & 0xf0;
    if (kind !== DOWN && kind !== UP) return;
    // A key that goes down with velocity 0 goes up, by the MIDI 1.0 specification.
    const on = kind === DOWN && velocity > 0;
    const time = event.timeStamp || performance.now();
    for (const listen of listeners) listen({ midi, on, velocity, time });
  }

  function connect(found) {
    const names = [];
    for (const input of found.inputs.values()) {
      input.onmidimessage = receive;
      names.push(input.name || "a MIDI keyboard");
    }
    return names;
  }

  function open(listen) {
    listeners.add(listen);
    access = access || navigator.requestMIDIAccess();
    return access.then(
      (found) => {
        found.onstatechange = () => connect(found);
        return connect(found);
      },
      (error) => {
        access = null;
        listeners.delete(listen);
        throw error;
      },
    );
  }

  const close = (listen) => listeners.delete(listen);

  transposary.midi = { there: "requestMIDIAccess" in navigator, open, close };
})();
