/* The chart of a song in another key, or as another instrument reads it.
 *
 * Why a script: the chart stands in the page as the song has it. With it the chords are moved in
 * their places. How keys are spelled the page says: how far each lies on the line of fifths.
 *
 * What it wants of the page:
 *   <section data-song="NAME" data-home="2" data-shifts="[[0, -5, 2, … twelve], …]">
 *     <form class="tp-moving" hidden> selects `key` and `part`, an output with .tp-reader </form>
 *     <li data-key="1"> <span data-root="-2" data-bass="3">B♭m7/A</span> … </li>
 * Titles in `.tp-offers` lead to the key chosen; `.tp-unmoved` says what stays in that of the chart.
 * `data-key` names the row of shifts, the first if missing.
 */
(function () {
  "use strict";

  const { SLOTS, choose, mover, remember, remembered, tell } = transposary;

  function enhance(form) {
    const song = form.closest("[data-song]");
    const { key, part } = form.elements;
    const name = `key.${song.dataset.song}`;
    const shifts = JSON.parse(song.dataset.shifts);
    const movers = [...song.querySelectorAll("[data-root]")].map((place) => mover(place, shifts));
    const reader = form.querySelector(".tp-reader");
    const unmoved = document.querySelector(".tp-unmoved");
    const titles = [...document.querySelectorAll(".tp-offers > li > a")].map((link) => [link, SLOTS.indexOf(link.hash.slice(1))]);

    function show() {
      const up = Number(part.selectedOptions[0].dataset.semitones);
      const moved = (Number(key.value) - song.dataset.home + 12) % 12;
      for (const move of movers) move((moved + up) % 12);
      if (unmoved) unmoved.hidden = moved === 0;
      for (const [link, at] of titles) link.hash = SLOTS[(at + moved) % 12];
      reader.textContent = part.selectedIndex === 0 ? "" : ` for ${part.selectedOptions[0].text}`;
    }

    form.addEventListener("submit", (event) => event.preventDefault());
    form.addEventListener("change", () => {
      remember(name, key.value);
      remember("part", part.value);
      tell("part", { part: part.value });
      show();
    });
    choose(key, remembered(name) ?? song.dataset.home);
    choose(part, remembered("part"));
    form.hidden = false;
    show();
  }

  document.querySelectorAll("form.tp-moving").forEach(enhance);
})();
