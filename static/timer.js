// Timers that count down and ring. Every end is an instant the page carries, beside the server's own time, so a wrong
// clock on the phone does not matter, and a page that slept catches up. Without this, the page says the times in words.
(() => {
  const SEEN = "benchday.seen";
  const WAITING = "benchday.ringing";
  const SOUND = "benchday.sound";
  const KEPT = 24 * 3600_000; // what has rung is remembered for a day
  const EARLY = 90_000; // the server counts whole minutes, so a timer may leave its list a minute before it rings
  const AGAIN = 8_000; // between two rings of a timer nobody has seen
  const STALE = 150_000; // the page asks every minute; after two misses it says so
  const title = document.title;
  const box = document.getElementById("ringing");
  const bell = document.getElementById("bell");
  if (!box || !bell) return;

  const kept = (name, otherwise) => {
    try {
      return JSON.parse(localStorage.getItem(name)) ?? otherwise;
    } catch {
      return otherwise;
    }
  };
  const keep = (name, value) => {
    try {
      localStorage.setItem(name, JSON.stringify(value));
    } catch {
      // a browser that keeps nothing rings all the same
    }
  };

  let ahead = 0; // by how much the server's clock is ahead of this one
  let asOf = Date.now();
  const now = () => Date.now() + ahead;
  const timers = new Map(); // key -> {at, words, key}
  const recent = (entries) => Object.fromEntries(Object.entries(entries).filter(([, one]) => one.at > now() - KEPT));
  let seen = kept(SEEN, {});
  let ringing = kept(WAITING, {});
  let context = null;
  let rungAt = 0;

  // What the lists say. A timer that is not there any more was taken back or is over, unless it was just to ring.
  function read() {
    const lists = document.getElementById("today-lists");
    if (!lists?.dataset.now) return;
    if (lists.dataset.now !== read.last) {
      read.last = lists.dataset.now;
      asOf = Date.parse(lists.dataset.now);
      ahead = asOf - Date.now();
    }
    const there = new Set();
    for (const slip of lists.querySelectorAll("[data-rings]")) {
      for (const [instant, words] of [
        [slip.dataset.soon, `${slip.dataset.words}, closes soon`],
        [slip.dataset.rings, slip.dataset.words],
      ]) {
        if (!instant) continue;
        const key = `${slip.id}@${instant}`;
        there.add(key);
        timers.set(key, { key, at: Date.parse(instant), words });
      }
    }
    for (const [key, timer] of timers) if (!there.has(key) && timer.at > now() + EARLY) timers.delete(key);
    tick();
  }

  function left(milliseconds) {
    const seconds = Math.max(0, Math.ceil(milliseconds / 1000));
    const [hours, minutes] = [Math.floor(seconds / 3600), Math.floor((seconds % 3600) / 60)];
    if (hours >= 48) return `in ${Math.floor(hours / 24)} days ${hours % 24} h`;
    if (hours) return `in ${hours} h ${minutes} min`;
    return `in ${minutes}:${String(seconds % 60).padStart(2, "0")}`;
  }

  function tick() {
    const at = now();
    for (const slip of document.querySelectorAll("[data-rings]")) {
      const place = slip.querySelector("[data-left]");
      const ends = Date.parse(slip.dataset.rings);
      const words = ends > at ? left(ends - at) : "now";
      if (place && place.textContent !== words) place.textContent = words;
      slip.classList.toggle("is-over", ends <= at);
    }
    for (const [key, timer] of timers) {
      if (timer.at > at) continue;
      timers.delete(key);
      if (!seen[key] && !ringing[key] && timer.at > at - KEPT) start(timer);
    }
    if (Object.keys(ringing).length && at - rungAt >= AGAIN) ring();
    since();
  }

  // Says since when the page is old, once the server is gone.
  function since() {
    const line = document.querySelector("[data-as-of]");
    if (!line) return;
    const old = now() - asOf;
    const minutes = Math.floor(old / 60_000);
    const stale = old > STALE;
    const words = `As of ${line.dataset.asOf}${stale ? `, ${minutes} min ago: Benchday does not answer since` : ""}.`;
    if (line.textContent !== words) line.textContent = words;
    line.classList.toggle("is-stale", stale);
  }

  function start(timer) {
    ringing[timer.key] = { at: timer.at, words: timer.words };
    keep(WAITING, recent(ringing));
    show();
    tell(timer);
    ring();
  }

  function show() {
    const entries = Object.entries(ringing).sort(([, one], [, other]) => one.at - other.at);
    box.replaceChildren(
      ...entries.map(([key, timer]) => {
        const line = document.createElement("div");
        const words = document.createElement("p");
        const button = document.createElement("button");
        words.textContent = timer.words;
        button.type = "button";
        button.className = "huge";
        button.dataset.seen = key;
        button.textContent = "Seen";
        button.setAttribute("aria-label", `Seen: ${timer.words}`);
        line.append(words, button);
        return line;
      }),
    );
    box.hidden = !entries.length;
    document.title = entries.length ? `● ${entries[0][1].words}` : title;
  }

  function ring() {
    rungAt = now();
    navigator.vibrate?.([400, 200, 400]);
    if (context?.state !== "running") return;
    for (const [pause, pitch] of [[0, 880], [0.35, 660], [0.7, 880]]) {
      const [tone, loud] = [context.createOscillator(), context.createGain()];
      const begins = context.currentTime + pause;
      tone.frequency.value = pitch;
      loud.gain.setValueAtTime(0.0001, begins);
      loud.gain.exponentialRampToValueAtTime(0.5, begins + 0.02);
      loud.gain.exponentialRampToValueAtTime(0.0001, begins + 0.3);
      tone.connect(loud).connect(context.destination);
      tone.start(begins);
      tone.stop(begins + 0.32);
    }
  }

  function tell(timer) {
    if (!window.isSecureContext || !("Notification" in window) || Notification.permission !== "granted") return;
    try {
      new Notification(timer.words, { tag: timer.key, icon: document.querySelector("link[rel=icon]")?.href });
    } catch {
      // some phones allow notifications from an installed app alone
    }
  }

  // Browsers give sound only after a tap, on every page anew: the wish is remembered, the first tap wakes it.
  async function wake() {
    try {
      context ??= new AudioContext();
      if (context.state !== "running") await context.resume();
    } catch {
      context = null;
    }
    sayBell();
  }

  function sayBell() {
    const wanted = kept(SOUND, false);
    const button = bell.querySelector("[data-bell]");
    button.textContent = wanted ? "Sound off" : "Sound on";
    button.setAttribute("aria-pressed", String(wanted));
    bell.querySelector("[data-bell-words]").textContent = !wanted
      ? "Timers are silent."
      : context?.state === "running"
        ? "Timers ring while this page is open."
        : "Timers ring once you have tapped this page.";
  }

  bell.querySelector("[data-bell]").addEventListener("click", async () => {
    const wanted = !kept(SOUND, false);
    keep(SOUND, wanted);
    if (!wanted) {
      await context?.suspend();
      return sayBell();
    }
    await wake();
    ring();
    if (window.isSecureContext && "Notification" in window && Notification.permission === "default")
      Notification.requestPermission().catch(() => {});
  });
  document.addEventListener("pointerdown", () => kept(SOUND, false) && context?.state !== "running" && wake());

  box.addEventListener("click", (event) => {
    const key = event.target.closest("[data-seen]")?.dataset.seen;
    if (!key) return;
    seen = recent({ ...kept(SEEN, {}), ...seen, [key]: ringing[key] });
    delete ringing[key];
    keep(SEEN, seen);
    keep(WAITING, recent(ringing));
    show();
    (box.querySelector("button") ?? document.getElementById("next"))?.focus();
  });
  // Seen in one window is seen in all of this browser.
  window.addEventListener("storage", () => {
    seen = kept(SEEN, {});
    ringing = kept(WAITING, {});
    show();
    sayBell();
  });

  document.addEventListener("htmx:after:swap", read);
  document.addEventListener("visibilitychange", () => document.hidden || tick());
  // Gone back to, the page may be an old one that the browser kept: its lists are asked for at once.
  let old = performance.getEntriesByType("navigation")[0]?.type === "back_forward";
  const refresh = () => document.getElementById("today-lists")?.dispatchEvent(new CustomEvent("stale"));
  document.addEventListener("htmx:after:init", (event) => {
    if (old && event.target.id === "today-lists") refresh();
    if (event.target.id === "today-lists") old = false;
  });
  window.addEventListener("pageshow", (event) => event.persisted && refresh());

  ringing = recent(ringing);
  bell.hidden = false;
  sayBell();
  show();
  read();
  setInterval(tick, 1000);
})();
