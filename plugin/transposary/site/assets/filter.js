/* The filter above a list of devices: the index, and what fits a song.
 *
 * Why a script: the list is complete without it. With it the list narrows to what the reader
 * asks for, and the address says what was asked, so that a teacher can send it to a student.
 *
 * What it wants of the page:
 *   <form class="tp-filter" hidden>
 *     <details> <summary>…</summary>
 *       <label>Role <select name="role"><option value="">any</option><option value="bass">…</select></label> …
 *       <button type="reset">…</button> </details>
 *     <output></output>
 *   </form>
 *   and beside it in the same parent
 *   <ul class="tp-index"> <li data-role="bass fill" data-genre="soul" data-level="2" data-hand="LH"> … </ul>
 * On a phone the selects are folded up, unless the address asks for something.
 * A select narrows by the data attribute of its own name; an attribute lists several values
 * with spaces between them. The select `bar` narrows places `.tp-places > li[data-bar]`, too.
 */
(function () {
  "use strict";

  function enhance(form) {
    const selects = [...form.querySelectorAll("select[name]")];
    const items = [...form.parentElement.querySelectorAll(".tp-index > li")];
    const output = form.querySelector("output");
    const reset = form.querySelector("[type=reset]");
    const choices = form.querySelector("details");
    const narrow = matchMedia("(max-width: 44.984375em)");

    function fits(item) {
      return selects.every(({ name, value }) => {
        return value === "" || (item.dataset[name] || "").split(" ").includes(value);
      });
    }

    // Of a device that fits at several places those at the bar asked for are shown.
    function atBar(name) {
      for (const list of form.parentElement.querySelectorAll(".tp-places")) {
        for (const place of list.children) place.hidden = Boolean(name) && !place.dataset.bar.split(" ").includes(name);
        const more = list.closest(".tp-more");
        if (more) more.open = more.firstElementChild.hidden = Boolean(name);
      }
    }

    function apply() {
      for (const item of items) item.hidden = !fits(item);
      if (form.elements.bar) atBar(form.elements.bar.value);
      reset.hidden = selects.every(({ value }) => value === "");
      const shown = items.filter((item) => !item.hidden).length;
      const every = transposary.count(items.length, "device");
      output.value = shown === items.length ? every : `${shown} of ${every}`;
    }

    function fromAddress() {
      transposary.fromAddress(selects);
      apply();
    }

    function ask() {
      transposary.toAddress(selects);
      apply();
    }

    function fold() {
      choices.open = !narrow.matches || selects.some(({ value }) => value);
    }

    form.addEventListener("submit", (event) => event.preventDefault());
    form.addEventListener("change", ask);
    form.addEventListener("reset", () => {
      for (const select of selects) select.value = "";
      ask();
    });
    window.addEventListener("popstate", fromAddress);
    narrow.addEventListener("change", fold);
    form.hidden = false;
    fromAddress();
    fold();
  }

  document.querySelectorAll("form.tp-filter").forEach(enhance);
})();
