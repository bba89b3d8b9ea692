// Is the program there? The page's own answer: html[data-away] while it is not, the events stopcut-away and stopcut-back
// when that changes, one line in the head's own room, and no press that would come to nothing. The bench goes on: it
// keeps its ticks itself.

(() => {
  const root = document.documentElement;
  const NOTHING = "The program does not answer: nothing is saved.";
  const KEPT = "Network away";
  const GRACE_MS = 3000; // a socket cut for a moment only sends what was typed meanwhile as soon as it is back
  const here = () => document.querySelector(".bench") !== null;
  let cut = false, locks = 0, offline = !navigator.onLine; // the socket's connection lost; the whole network

  const say = (text) => {
    document.querySelectorAll(".head .state").forEach((state) => (state.dataset.away = text));
    const unseen = document.querySelector(".away-says") ?? document.body.appendChild(document.createElement("p"));
    const headed = document.querySelector(".head .state") !== null;
    Object.assign(unseen, { className: headed ? "away-says unseen" : "away-says notice", role: "status" });
    if (unseen.textContent !== text) unseen.textContent = text;
  };

  /** Whatever would only be sent and lost cannot be touched meanwhile. */
  const lock = (away) => {
    for (const part of document.querySelectorAll(".ledge > :not(.bench-pane), .jobs")) part.inert = away;
  };

  const changed = () => {
    const away = cut || offline, before = "away" in root.dataset;
    if (away) root.dataset.away = "";
    else delete root.dataset.away;
    clearTimeout(locks);
    if (away && !offline) locks = setTimeout(lock, GRACE_MS, true);
    else lock(away);
    if (away === before) return;
    if (away) say(here() ? KEPT : NOTHING);
    else say("");
    dispatchEvent(new Event(away ? "stopcut-away" : "stopcut-back"));
  };

  /** Where a press would lead is not there: it is said at once, and the page stays as it is. */
  const press = (event) => {
    const way = "away" in root.dataset && event.target.closest?.("a[href], .head button");
    if (!way) return;
    event.preventDefault();
    event.stopImmediatePropagation();
    const name = way.firstElementChild?.textContent || way.textContent;
    say(here() ? `${name.trim()} waits for the network` : `${name.trim()} waits until the program answers.`);
  };

  addEventListener("click", press, true);
  addEventListener("offline", () => { offline = true; changed(); });
  addEventListener("online", () => { offline = false; changed(); });
  addEventListener("DOMContentLoaded", () => {
    const sign = document.getElementById("popup"); // the framework's own sign that its socket is cut
    if (!sign) return;
    new MutationObserver(() => { cut = sign.ariaHidden === "false"; changed(); }).observe(sign, { attributes: true });
  });
})();
