// Makes the form of the page answer while it is being filled in. Without this script the buttons do the same.
"use strict";
(function () {
  const form = document.getElementById("recipe");
  const result = document.getElementById("result");
  const rows = document.getElementById("rows");
  if (!form || !result || !rows || !window.fetch || !window.DOMParser) return;

  let running = null;
  let waiting = 0;

  // check asks for the report on what the form holds and puts it in the place of the last one.
  async function check(focus) {
    window.clearTimeout(waiting);
    if (running) running.abort();
    running = new AbortController();
    const fields = new URLSearchParams(new FormData(form));
    fields.set("do", "check");
    result.setAttribute("aria-busy", "true");
    try {
      const answer = await fetch(form.getAttribute("action"), {
        method: "POST",
        headers: { Accept: "text/html", "Content-Type": "application/x-www-form-urlencoded" },
        body: fields,
        signal: running.signal,
      });
      if (!answer.ok) throw new Error("status " + answer.status);
      const page = new DOMParser().parseFromString(await answer.text(), "text/html");
      const fresh = page.getElementById("result");
      const mistakes = page.querySelector(".mistakes");
      const old = form.querySelector(".mistakes");
      if (old) old.remove();
      if (mistakes) form.querySelector("h2").after(document.importNode(mistakes, true));
      if (fresh) result.replaceChildren(...Array.from(fresh.childNodes, (node) => document.importNode(node, true)));
      const heading = document.getElementById("disposition");
      if (focus && heading && !mistakes) {
        heading.focus({ preventScroll: true });
        result.scrollIntoView({ block: "start" });
      }
    } catch (failed) {
      if (failed.name === "AbortError") return;
      form.submit(); // the plain way
    } finally {
      result.removeAttribute("aria-busy");
    }
  }

  // addRow makes an empty copy of the last row.
  function addRow() {
    const count = form.elements.rows;
    const index = Number(count.value);
    const row = rows.lastElementChild.cloneNode(true);
    row.querySelector("legend").lastChild.textContent = String(index + 1);
    for (const element of row.querySelectorAll("[id], [name], [for]")) {
      for (const attribute of ["id", "name", "for"]) {
        if (element.hasAttribute(attribute)) {
          element.setAttribute(attribute, element.getAttribute(attribute).replace(/-\d+$/, "-" + index));
        }
      }
    }
    for (const field of row.querySelectorAll("input, select")) {
      if (field.type === "checkbox") field.checked = false;
      else if (field.tagName === "SELECT") field.selectedIndex = 0;
      else field.value = "";
    }
    const more = row.querySelector("details");
    if (more) more.open = false;
    const hidden = row.querySelector("summary .hidden");
    const summary = row.querySelector(".more-summary");
    if (summary) summary.textContent = "";
    if (hidden) hidden.textContent = " about ingredient " + (index + 1);
    rows.append(row);
    count.value = String(index + 1);
    document.getElementById("item-" + index).focus();
  }

  form.addEventListener("submit", (event) => {
    const action = event.submitter ? event.submitter.value : "check";
    if (action === "add") {
      event.preventDefault();
      addRow();
    } else if (action === "check") {
      event.preventDefault();
      check(true);
    }
  });
  form.addEventListener("change", () => {
    window.clearTimeout(waiting);
    waiting = window.setTimeout(() => check(false), 400);
  });
})();
