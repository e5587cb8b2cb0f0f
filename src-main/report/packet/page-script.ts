/**
 * The page's only script: figures zoom by wheel with Ctrl, by buttons and keys, and are dragged when zoomed. Without it everything
 * is still there to read. Plain JavaScript as text, since the page must stand alone; its hash is in the page's content policy.
 */
export const PAGE_SCRIPT = `'use strict';
for (const figure of document.querySelectorAll('figure')) {
  const svg = figure.querySelector('svg');
  const whole = svg.viewBox.baseVal;
  const home = { x: whole.x, y: whole.y, width: whole.width, height: whole.height };
  let view = { ...home };
  const show = (next) => {
    const width = Math.min(home.width, Math.max(home.width / 64, next.width));
    const height = width * home.height / home.width;
    view = {
      x: Math.min(home.x + home.width - width, Math.max(home.x, next.x)),
      y: Math.min(home.y + home.height - height, Math.max(home.y, next.y)),
      width, height,
    };
    svg.setAttribute('viewBox', [view.x, view.y, view.width, view.height].join(' '));
  };
  const zoom = (factor, u = 0.5, v = 0.5) =>
    show({ x: view.x + view.width * (1 - factor) * u, y: view.y + view.height * (1 - factor) * v, width: view.width * factor });
  const move = (du, dv) => show({ ...view, x: view.x + du * view.width, y: view.y + dv * view.height });
  const acts = {
    '+': () => zoom(0.5), '=': () => zoom(0.5), '-': () => zoom(2), '0': () => show(home),
    ArrowLeft: () => move(-0.2, 0), ArrowRight: () => move(0.2, 0), ArrowUp: () => move(0, -0.2), ArrowDown: () => move(0, 0.2),
  };
  const bar = document.createElement('div');
  bar.className = 'zoom';
  for (const [key, words] of [['+', 'Closer'], ['-', 'Farther'], ['0', 'Whole figure']]) {
    const button = document.createElement('button');
    button.type = 'button';
    button.textContent = words;
    button.addEventListener('click', acts[key]);
    bar.append(button);
  }
  figure.prepend(bar);
  const frame = figure.querySelector('.frame');
  frame.tabIndex = 0;
  frame.addEventListener('keydown', (event) => {
    if (event.ctrlKey || event.metaKey || event.altKey || !(event.key in acts)) return;
    event.preventDefault();
    acts[event.key]();
  });
  frame.addEventListener('wheel', (event) => {
    if (!event.ctrlKey) return;
    event.preventDefault();
    const box = svg.getBoundingClientRect();
    zoom(event.deltaY < 0 ? 0.8 : 1.25, (event.clientX - box.left) / box.width, (event.clientY - box.top) / box.height);
  }, { passive: false });
  frame.addEventListener('pointermove', (event) => {
    if ((event.buttons & 1) === 0 || view.width === home.width) return;
    const box = svg.getBoundingClientRect();
    move(-event.movementX / box.width, -event.movementY / box.height);
  });
}
`;
