/* The key picker of a device page.
 *
 * Why a script: all twelve engravings stand in the page, so that it reads, prints and saves
 * without one. With it one key shows at a time, and the reader's key goes along from page to
 * page. Nothing here draws music or knows theory.
 *
 * What it wants of the page (all of it also serves readers without scripts):
 *   <section data-device="SLUG" data-home="G">
 *     <nav class="tp-picker" aria-label="Keys"> <a href="#Eb">E♭</a> … twelve </nav>
 *     <figure id="Eb" data-slot="Eb" data-tonic="E♭"> … </figure> … twelve
 *   </section>
 * A section without a picker (a hand-out) is left as it is. Until this runs, pages.css shows
 * one key too, so that nothing jumps; `data-ready` tells it that this has taken over.
 */
(function () {
  "use strict";

  const { furnish, group, on, remember, remembered, tell } = transposary;
  const MOVES = { ArrowLeft: -1, ArrowUp: -1, ArrowRight: 1, ArrowDown: 1 };

  function enhance(section, picker) {
    const links = [...picker.querySelectorAll("a[href^='#']")];
    const figures = new Map(
      [...section.querySelectorAll("figure[data-slot]")].map((figure) => [figure.dataset.slot, figure]),
    );
    const slotOf = (link) => link.hash.slice(1);
    const inAddress = () => {
      const slot = location.hash.slice(1);
      return figures.has(slot) ? slot : null;
    };

    // For a sheet to practise from: all twelve again, on the screen and on paper.
    const { all } = group(section, "Keys");
    all.onclick = () => show(section.dataset.shown, !allOpen());

    // One tab of a tablist: exactly one key of twelve is shown, Tab passes the row in one step
    // and the arrows walk within it.
    picker.setAttribute("role", "tablist");
    for (const link of links) {
      const figure = figures.get(slotOf(link));
      const id = `key-${slotOf(link)}`;
      furnish(link, { id, role: "tab", "aria-controls": figure.id });
      furnish(figure, { role: "tabpanel", "aria-labelledby": id });
    }

    const allOpen = () => all.getAttribute("aria-pressed") === "true";

    function show(slot, open = false) {
      all.setAttribute("aria-pressed", String(open));
      for (const [name, figure] of figures) figure.hidden = !open && name !== slot;
      for (const link of links) {
        const chosen = slotOf(link) === slot;
        link.setAttribute("aria-selected", String(chosen));
        link.tabIndex = chosen ? 0 : -1;
      }
      section.dataset.shown = slot;
      tell("key", { section, slot });
    }

    function choose(slot, record, open = false) {
      history[record](null, "", `#${slot}`);
      remember("key", slot);
      show(slot, open);
    }

    function fromAddress() {
      const asked = inAddress();
      if (asked) remember("key", asked);
      const kept = remembered("key");
      show(asked || (figures.has(kept) ? kept : section.dataset.home));
    }

    picker.addEventListener("click", (event) => {
      const link = event.target.closest("a");
      if (!link || event.ctrlKey || event.metaKey || event.shiftKey) return;
      event.preventDefault();
      choose(slotOf(link), "pushState");
    });

    picker.addEventListener("keydown", (event) => {
      const at = links.indexOf(document.activeElement);
      if (at < 0 || event.altKey || event.ctrlKey || event.metaKey) return;
      let next = null;
      if (event.key in MOVES) next = links.at((at + MOVES[event.key]) % links.length);
      if (event.key === "Home") next = links[0];
      if (event.key === "End") next = links.at(-1);
      if (!next) return;
      event.preventDefault();
      next.focus();
      // Walking along the row is one visit: the back button should leave it, not retrace it.
      choose(slotOf(next), "replaceState");
    });

    // Going on to another key leaves all of them open, and what was asked for in sight.
    on("wanted", ({ slot }) => {
      choose(slot, "replaceState", allOpen());
      if (allOpen()) figures.get(slot).scrollIntoView({ block: "nearest" });
    }, section);

    // Both, since the back button fires popstate and an edited address hashchange.
    window.addEventListener("popstate", fromAddress);
    window.addEventListener("hashchange", fromAddress);
    fromAddress();
    section.dataset.ready = "";
  }

  for (const section of document.querySelectorAll("[data-device]")) {
    const picker = section.querySelector(".tp-picker");
    if (picker) enhance(section, picker);
  }
})();
