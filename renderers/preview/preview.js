"use strict";
// Fetches what has changed, puts it in its place, and leaves the reader where they were.
(() => {
  const form = document.getElementById("ask");
  const count = document.getElementById("count");
  const line = document.getElementById("line");
  const refused = document.getElementById("refused");
  const places = new CSSStyleSheet();
  document.adoptedStyleSheets = [places];

  const look = () => document.getElementById("look");
  const say = (element, text) => {
    if (element.textContent !== text) element.textContent = text; // said again, it would be read out again
  };

  // ---- where the reader is

  const PIECES = "h1, h2, p, tr, .excerpt, svg";

  // The first piece below the upper edge, and how far below it.
  function place() {
    if (window.scrollY < 1) return null;
    for (const part of look().querySelectorAll("section")) {
      if (part.getBoundingClientRect().bottom <= 0) continue;
      const pieces = [...part.querySelectorAll(PIECES)];
      const at = pieces.findIndex((piece) => piece.getBoundingClientRect().bottom > 0);
      if (at >= 0) {
        return { part: part.id, at, text: pieces[at].textContent, y: pieces[at].getBoundingClientRect().top };
      }
    }
    return null;
  }

  // The same piece, by its text where that is still there, else by its number.
  function goTo(before) {
    const part = before && document.getElementById(before.part);
    if (!part) return;
    const pieces = [...part.querySelectorAll(PIECES)];
    let best = Math.min(before.at, pieces.length - 1);
    let nearest = Infinity;
    pieces.forEach((piece, at) => {
      const far = Math.abs(at - before.at);
      if (far < nearest && piece.textContent === before.text) {
        nearest = far;
        best = at;
      }
    });
    if (best >= 0) window.scrollBy(0, pieces[best].getBoundingClientRect().top - before.y);
  }

  const FOCUSED = "a, [tabindex]";

  // ---- putting it in its place

  function put(text, status) {
    const fresh = new DOMParser().parseFromString(text, "text/html").getElementById("look");
    if (!fresh) throw new Error("not our page");
    const old = look();
    const before = place();
    const focused = [...old.querySelectorAll(FOCUSED)].indexOf(document.activeElement);
    places.replaceSync(fresh.dataset.places);
    old.replaceWith(document.adoptNode(fresh));
    if (focused >= 0) fresh.querySelectorAll(FOCUSED)[focused]?.focus({ preventScroll: true });
    document.title = fresh.dataset.title;
    say(count, fresh.dataset.count);
    const why = status === 400 ? fresh.dataset.refused : "";
    say(refused, why);
    refused.hidden = !why;
    goTo(before);
  }

  const query = () => {
    const asked = new URLSearchParams();
    for (const [name, value] of new FormData(form)) if (value.trim()) asked.set(name, value.trim());
    return asked.size ? `?${asked}` : "";
  };

  let busy = false;
  let again = false;

  async function show() {
    again = true;
    if (busy) return;
    busy = true;
    try {
      while (again) {
        again = false;
        const answer = await fetch(`look${query()}`, { cache: "no-store", credentials: "omit", redirect: "error" });
        const text = await answer.text();
        const ours = (answer.headers.get("Content-Type") || "").startsWith("text/html");
        if (ours) put(text, answer.status);
        else say(line, text.trim());
      }
    } catch (error) {
      lost();
    } finally {
      busy = false;
    }
  }

  // ---- the form

  form.addEventListener("submit", (event) => {
    event.preventDefault();
    history.replaceState(null, "", query() || "./");
    show();
  });
  form.addEventListener("change", (event) => {
    const other = { times: "makes", makes: "times" }[event.target.name];
    if (other && event.target.value.trim()) form.elements[other].value = "";
    form.requestSubmit();
  });

  // ---- being told

  function lost() {
    say(line, "Out of touch with the watch, and trying again. Until then saves are not shown.");
  }

  let events = null;

  function listen() {
    events = new EventSource("events");
    events.onmessage = (event) => {
      say(line, "Shows each save.");
      if (event.data !== look().dataset.ticket) show();
    };
    events.onerror = () => {
      lost();
      if (events.readyState !== EventSource.CLOSED) return; // it tries again by itself
      events.close();
      setTimeout(listen, 2000);
    };
  }
  // A page that is put away and taken out again has missed what happened meanwhile.
  window.addEventListener("pageshow", (event) => {
    if (event.persisted) show();
  });
  listen();
})();
