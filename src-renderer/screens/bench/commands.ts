import type { App } from '../../state/app.svelte.ts';
import { bound, type Command } from '../../state/keys.svelte.ts';

/** Keys of the bench. */
export function benchCommands(app: App, page: { open(): void; filter(): void }): readonly Command[] {
  const { bench } = app;
  const { views } = bench;
  const group = 'Bench';
  const middle = () => {
    const { lowHz, highHz } = views.current;
    const at = bench.chosen?.spur.frequencyHz;
    return at !== undefined && at >= lowHz && at <= highHz ? at : (lowHz + highHz) / 2;
  };
  /** A guess begins at the comb of the chosen spur, else at the first of the capture. */
  const tryOne = () => {
    const { captureId } = bench;
    if (captureId === null) return;
    const candidate = bench.chosen?.explanation.candidates[0];
    const startHz =
      candidate !== undefined
        ? candidate.predictedHz / candidate.harmonic
        : (bench.chosen?.spur.frequencyHz ?? bench.triage?.combs[0]?.fundamentalHz);
    if (startHz !== undefined) app.guess.set(captureId, startHz);
  };
  const nudge = (by: number) => (app.guess.isOn ? app.guess.nudge(by) : tryOne());
  const leave = () => (app.guess.isOn ? app.guess.clear() : bench.choose(null));
  const isShown = () => bench.captureId !== null;
  const overlay = () => {
    const earlier = bench.overlays.earlier();
    if (bench.overlays.captures.length > 0) bench.overlays.clear();
    else if (earlier === null) app.sheet = 'captures';
    else bench.overlays.toggle(earlier.id);
  };
  const band = (i: number) => {
    const chosen = app.register.bands[i];
    if (chosen === undefined) return;
    const margin = (chosen.highHz - chosen.lowHz) * 0.1;
    views.show({ lowHz: chosen.lowHz - margin, highHz: chosen.highHz + margin, lowDb: null, highDb: null });
  };
  return [
    { keys: ['ArrowLeft'], show: ['\u2190'], label: '', run: () => bench.stepAlong(-1), group, inLine: true },
    { keys: ['ArrowRight'], show: ['\u2192'], label: 'next spur', run: () => bench.stepAlong(1), group, inLine: true },
    { keys: ['ArrowUp'], show: ['\u2191'], label: '', run: () => bench.step(-1), group, inLine: true },
    { keys: ['ArrowDown'], show: ['\u2193'], label: 'row of the list', run: () => bench.step(1), group, inLine: true },
    {
      keys: ['Shift+ArrowUp'],
      show: ['Shift', '\u2191'],
      label: 'pick one more row up',
      run: () => bench.extend(-1),
      group,
    },
    {
      keys: ['Shift+ArrowDown'],
      show: ['Shift', '\u2193'],
      label: 'pick one more row down',
      run: () => bench.extend(1),
      group,
    },
    { keys: ['Ctrl+a'], show: ['Ctrl', 'A'], label: 'pick every row of the list', run: () => bench.pick.all(), group },
    { keys: ['PageUp'], show: ['PgUp'], label: 'ten rows up', run: () => bench.step(-10), group },
    { keys: ['PageDown'], show: ['PgDn'], label: 'ten rows down', run: () => bench.step(10), group },
    {
      keys: ['+', '='],
      show: ['+'],
      label: '',
      run: () => views.zoom(0.5, middle(), true, bench.isLog),
      group,
      inLine: true,
    },
    {
      keys: ['-', '\u2212', '_'],
      show: ['\u2212'],
      label: 'nearer, wider',
      run: () => views.zoom(2, middle(), true, bench.isLog),
      group,
      inLine: true,
    },
    {
      keys: ['Shift+ArrowLeft', ','],
      show: ['Shift', '\u2190'],
      label: 'move the view left',
      run: () => views.pan(-0.5, true, bench.isLog),
      group,
    },
    {
      keys: ['Shift+ArrowRight'],
      show: ['Shift', '\u2192'],
      label: 'move the view right',
      run: () => views.pan(0.5, true, bench.isLog),
      group,
    },
    bound('bench.whole', () => views.showWhole(), { can: isShown, inLine: true }),
    bound('bench.back', () => views.back(), { can: () => views.canGoBack, inLine: true }),
    bound('bench.forward', () => views.forward(), { can: () => views.canGoForward, inLine: true }),
    ...app.register.bands.slice(0, 3).map((b, i): Command => ({
      keys: [String(i + 1)],
      show: [String(i + 1)],
      label: `band ${b.name}`,
      run: () => band(i),
      group,
      inLine: app.register.bands.length <= 3,
    })),
    bound('bench.rows', () => (bench.lower = bench.lower === 'spurs' ? 'waterfall' : 'spurs'), { can: isShown }),
    bound('bench.guess', tryOne, { can: isShown }),
    { keys: ['Alt+ArrowLeft'], show: ['Alt', '\u2190'], label: 'guess a little lower', run: () => nudge(-1), group },
    { keys: ['Alt+ArrowRight'], show: ['Alt', '\u2192'], label: 'guess a little higher', run: () => nudge(1), group },
    {
      keys: ['Alt+Shift+ArrowLeft'],
      show: ['Alt', 'Shift', '\u2190'],
      label: 'guess lower',
      run: () => nudge(-20),
      group,
    },
    {
      keys: ['Alt+Shift+ArrowRight'],
      show: ['Alt', 'Shift', '\u2192'],
      label: 'guess higher',
      run: () => nudge(20),
      group,
    },
    { keys: ['y'], show: ['Y'], label: 'guess to its lines', run: () => app.guess.fit(), group },
    bound('bench.log', () => (bench.wantsLog = !bench.wantsLog), { can: isShown }),
    bound('bench.measure', () => bench.toggleMark(), { can: isShown }),
    bound('bench.overlay', overlay, { can: isShown }),
    bound('captures.open', () => page.open()),
    bound('bench.captures', () => (app.sheet = 'captures')),
    bound('bench.facts', () => (app.sheet = 'facts'), { can: isShown }),
    bound('bench.condition', () => (app.sheet = 'condition'), { can: isShown }),
    bound('bench.filter', () => page.filter()),
    { keys: ['Escape'], show: ['Esc'], label: 'end the guess, choose no spur', run: leave, group },
  ];
}
