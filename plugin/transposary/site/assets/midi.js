/* A MIDI keyboard, for whichever page wants to listen to one.
 *
 * Why here: browsers ask the reader's leave before they give a keyboard away, so that a page asks
 * only when the reader has pressed something, and only once.
 *
 * `transposary.midi(button, press)` listens when the button is pressed, which then says to what; it
 * hides the button where the browser could not. `press(midi, time)` is called for each key that goes
 * down; the time is that of `performance.now()`. Keyboards that are plugged in later are heard, too.
 */
(function () {
  "use strict";

  const DOWN = 0x90;
  const listeners = new Set();

  function receive({ data: [status, midi, velocity], timeStamp }) {
    // A key that goes down with velocity 0 goes up, by the MIDI 1.0 specification.
    if ((status & 0xf0) !== DOWN || !velocity) return;
    for (const press of listeners) press(midi, timeStamp || performance.now());
  }

  function connect(found) {
    const inputs = [...found.inputs.values()];
    for (const input of inputs) input.onmidimessage = receive;
    return inputs.map(({ name }) => name || "a MIDI keyboard").join(", ");
  }

  async function listen(press) {
    try {
      const found = await navigator.requestMIDIAccess();
      listeners.add(press);
      found.onstatechange = () => connect(found);
      const names = connect(found);
      return names ? `Listening to ${names}` : "No MIDI keyboard found: plug one in";
    } catch {
      return "The browser did not give leave to listen";
    }
  }

  transposary.midi = (button, press) => {
    button.hidden = !("requestMIDIAccess" in navigator);
    button.addEventListener("click", async () => transposary.say((button.textContent = await listen(press))));
  };
})();
