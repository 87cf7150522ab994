// Pointing lights plot and list, the slider, a loom drawn while it is typed, a row done without a new page. All of it
// works without this file too, a little slower.
"use strict";
(() => {
  const one = (id) => document.getElementById(id);

  // the plot and the list light each other up
  const ways = document.querySelectorAll(".ways > li");
  for (const way of ways) {
    const dots = document.querySelectorAll(`svg a[href="#${way.id}"]`);
    const light = (on) => () => {
      way.classList.toggle("lit", on);
      for (const dot of dots) dot.classList.toggle("lit", on);
    };
    for (const each of [way, ...dots]) {
      each.addEventListener("pointerenter", light(true));
      each.addEventListener("pointerleave", light(false));
      each.addEventListener("focusin", light(true));
      each.addEventListener("focusout", light(false));
    }
  }

  // slider and box hold one girth; the box keeps its unit
  const box = one("girth"), slider = one("slider");
  if (box && slider) {
    const read = () => /^\s*([\d.]+)\s*(cm|in|mm)?/.exec(box.value) || ["", "56", "cm"];
    const show = () => {
      const inches = read()[2] === "in";
      slider.min = inches ? 4 : 10;
      slider.max = inches ? 32 : 80;
      slider.step = inches ? 0.25 : 0.5;
      slider.value = read()[1];
      slider.setAttribute("aria-valuetext", box.value);
    };
    const who = one("who");  // a girth that is said stands in the place of a person, and the other way round
    const alone = () => { if (who) who.value = ""; };
    if (who) who.addEventListener("change", () => { if (who.value) box.value = ""; });
    slider.closest(".slide").hidden = false;
    slider.addEventListener("input", alone);
    box.addEventListener("input", alone);
    slider.addEventListener("input", () => { box.value = `${slider.value} ${read()[2] || "cm"}`; });
    slider.addEventListener("change", () => box.form.requestSubmit());
    box.addEventListener("input", show);
    show();
  }

  // a list of asks out of a file into the box
  const file = one("file");
  if (file) {
    file.closest(".field").hidden = false;
    file.addEventListener("change", async () => {
      if (file.files[0]) one(file.dataset.into).value = await file.files[0].text();
    });
  }

  // a loom is drawn while it is described
  const drawing = one("drawing"), entry = document.querySelector("form.entry");
  if (drawing && entry) {
    let waiting = 0;
    entry.addEventListener("input", () => {
      clearTimeout(waiting);
      waiting = setTimeout(() => {
        drawing.src = "/cupboard/drawing?" + new URLSearchParams(new FormData(entry));
      }, 200);
    });
  }

  // a row done: the answer holds the entry that is next
  const tick = one("tick");
  if (tick) {
    const [done, undo] = tick.querySelectorAll("button");
    const put = (now) => {
      tick.elements.at.value = now.at;
      one("part").textContent = now.part;
      one("title").textContent = now.title;
      one("words").replaceChildren(...now.words.map((words) => {
        const line = document.createElement("p");
        line.textContent = words;
        return line;
      }));
      one("next").textContent = now.next.join(" · ") || "the end";
      one("count").textContent = `${now.at} of ${now.of} done`;
      one("bar").value = now.at;
      done.textContent = now.title.startsWith("Row") ? "Row done" : "Done";
      done.disabled = now.at >= now.of;
      undo.disabled = now.at === 0;
      const counting = document.querySelector("details.count");  // a phone has none
      if (counting) counting.open = now.check;
    };
    let busy = false;
    tick.addEventListener("submit", async (event) => {
      event.preventDefault();
      if (busy) return;
      busy = true;
      const told = new URLSearchParams({ at: tick.elements.at.value, do: event.submitter.value, quiet: "yes" });
      try {
        const answer = await fetch(tick.action, { method: "POST", body: told, credentials: "same-origin" });
        if (!answer.ok) throw new Error(answer.statusText);
        put(await answer.json());
      } catch {
        location.reload();
      } finally {
        busy = false;
      }
    });
  }
})();
