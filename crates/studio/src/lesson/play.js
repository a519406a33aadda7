// Plays the acts of a step: each line is drawn in its turn, with its sentence beside it. What is read stands in the page already.
'use strict';
(() => {
  const still = matchMedia('(prefers-reduced-motion: reduce)');
  const SHORTEST = 2200, PER_WORD = 330;

  for (const work of document.querySelectorAll('.work')) {
    const panel = work.querySelector('.play');
    if (!panel) continue;
    const acts = [...work.querySelectorAll('.does > li')];
    // What is drawn twice shows as it is drawn last.
    const drawnBy = new Map();
    acts.forEach((act, at) => (act.dataset.draws || '').split(' ').forEach((name) => drawnBy.set(name, at)));
    const things = [...work.querySelectorAll('svg [data-name]')]
      .filter((thing) => drawnBy.has(thing.dataset.name));
    if (!things.length) continue;
    const now = panel.querySelector('.now');
    const whole = acts.length;
    let at = whole, waiting = 0;

    const rest = (thing) => {
      thing.classList.remove('draws', 'comes');
      thing.removeAttribute('pathLength');
    };

    const show = (act, moves) => {
      at = act;
      let first = null;
      for (const thing of things) {
        const own = drawnBy.get(thing.dataset.name);
        rest(thing);
        thing.classList.toggle('wait', own > act);
        if (own !== act) continue;
        first = first || thing;
        if (!moves || still.matches) continue;
        if (thing.matches('path') && getComputedStyle(thing).stroke !== 'none') {
          thing.setAttribute('pathLength', '1');
          thing.classList.add('draws');
          thing.addEventListener('animationend', () => rest(thing), { once: true });
        } else {
          thing.classList.add('comes');
        }
      }
      acts.forEach((one, place) => {
        one.classList.toggle('now', place === act);
        if (place === act) one.setAttribute('aria-current', 'step');
        else one.removeAttribute('aria-current');
      });
      now.textContent = act >= 0 && act < whole
        ? `${panel.dataset.act} ${act + 1} ${panel.dataset.of} ${whole}. ${acts[act].textContent}`
        : '';
      const picture = first && first.closest('svg');
      if (picture && act < whole) picture.scrollIntoView({ block: 'nearest' });
    };

    const stop = () => {
      clearTimeout(waiting);
      waiting = 0;
      panel.classList.remove('on');
    };

    const next = () => {
      if (at + 1 >= whole) {
        stop();
        return;
      }
      show(at + 1, true);
      const words = acts[at].textContent.split(/\s+/).length;
      waiting = setTimeout(next, Math.max(SHORTEST, words * PER_WORD));
    };

    const moves = {
      play() {
        if (waiting) {
          stop();
          return;
        }
        if (at >= whole - 1) show(-1, false);
        panel.classList.add('on');
        next();
      },
      on() {
        stop();
        show(at >= whole ? 0 : Math.min(at + 1, whole - 1), true);
      },
      back() {
        stop();
        show(Math.max((at >= whole ? whole : at) - 1, -1), false);
      },
      all() {
        stop();
        show(whole, false);
      },
    };

    panel.addEventListener('click', (event) => {
      const button = event.target.closest('button');
      if (button) moves[button.dataset.does]();
    });
    panel.addEventListener('keydown', (event) => {
      const does = { ArrowRight: 'on', ArrowLeft: 'back', Escape: 'all' }[event.key];
      if (!does || event.ctrlKey || event.altKey || event.metaKey) return;
      event.preventDefault();
      moves[does]();
    });
    const settle = () => {
      stop();
      panel.querySelector('[data-does=play]').hidden = still.matches;
    };
    still.addEventListener('change', settle);
    addEventListener('beforeprint', () => moves.all());
    settle();
    panel.hidden = false;
  }
})();
