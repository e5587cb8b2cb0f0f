import uPlot from 'uplot';
import 'uplot/dist/uPlot.min.css';
import { axisEnds, axisPlace, scalesOf } from './trace-plot-scales.ts';
import type { PlotRange, Scales } from './trace-plot-scales.ts';
import type { TraceColumns } from '../../src-main/api/contract.ts';

export interface PlotTrace {
  readonly columns: TraceColumns;
  readonly stroke: string;
  readonly width: number;
  /** On and off, CSS pixels; left out for a whole line. */
  readonly dash?: readonly number[];
}

export type Painter = (ctx: CanvasRenderingContext2D, scales: Scales) => void;

export interface PlotContent {
  readonly width: number;
  readonly height: number;
  readonly range: PlotRange;
  readonly traces: readonly PlotTrace[];
  /** Painted under the traces, and over them; both in CSS pixels, cut to the plotting area. */
  readonly under: Painter | null;
  readonly over: Painter | null;
  /** Painted over the first trace and under the second. */
  readonly between?: Painter | null;
}

/** Each column as two points, largest then smallest, so that one upright stroke per column shows both and no line is lost. */
function columnPoints(columns: TraceColumns, place: (hz: number) => number): [number[], (number | null)[]] {
  const { frequencyHz, minimumDb, maximumDb } = columns;
  const perColumn = columns.thinned ? 2 : 1;
  const n = frequencyHz.length * perColumn;
  const x = new Array<number>(n);
  const y = new Array<number | null>(n);
  const level = (value: number) => (Number.isFinite(value) ? value : null);
  for (let i = 0, out = 0; i < frequencyHz.length; i++) {
    x[out] = place(frequencyHz[i]!);
    y[out++] = level(maximumDb[i]!);
    if (perColumn === 2) {
      x[out] = x[out - 1]!;
      y[out++] = level(minimumDb[i]!);
    }
  }
  return [x, y];
}

/** All traces on one x column, as uPlot wants them; where a trace has no point of its own it has `undefined` (drawn through). */
function joined({ traces, range }: PlotContent): uPlot.AlignedData {
  const place = axisPlace(range);
  const tables = traces.map((trace) => columnPoints(trace.columns, place));
  const [first] = tables;
  if (first === undefined) return [[]];
  if (tables.length === 1) return first;
  const total = tables.reduce((sum, [x]) => sum + x.length, 0);
  const x = new Array<number>(total);
  const ys = tables.map(() => new Array<number | null | undefined>(total));
  const at = tables.map(() => 0);
  for (let out = 0; out < total; out++) {
    let which = -1;
    for (let t = 0; t < tables.length; t++) {
      const next = tables[t]![0][at[t]!];
      if (next !== undefined && (which < 0 || next < tables[which]![0][at[which]!]!)) which = t;
    }
    x[out] = tables[which]![0][at[which]!]!;
    ys[which]![out] = tables[which]![1][at[which]!]!;
    at[which]!++;
  }
  return [x, ...ys] as uPlot.AlignedData;
}

/** The one place that owns a uPlot: traces and ranges in, a picture out. Axes, marks and words are drawn around it. */
export class TracePlot {
  readonly #plot: uPlot;
  #content: PlotContent;
  #traces: readonly PlotTrace[];

  constructor(host: HTMLElement, content: PlotContent) {
    this.#content = content;
    this.#traces = content.traces;
    const range = () => this.#content.range;
    this.#plot = new uPlot(
      {
        width: Math.max(1, content.width),
        height: Math.max(1, content.height),
        padding: [0, 0, 0, 0],
        legend: { show: false },
        cursor: { show: false },
        axes: [{ show: false }, { show: false }],
        scales: {
          x: { time: false, auto: false, range: () => [...axisEnds(range())] },
          y: { auto: false, range: () => [range().lowDb, range().highDb] },
        },
        series: [{}, ...content.traces.map((_, index) => this.#series(index))],
        hooks: {
          drawClear: [(plot) => this.#paint(plot, this.#content.under)],
          drawSeries: [(plot, index) => index === 1 && this.#paint(plot, this.#content.between ?? null)],
          draw: [(plot) => this.#paint(plot, this.#content.over)],
        },
      },
      joined(content),
      host,
    );
  }

  #series(index: number): uPlot.Series {
    const { width = 1, dash } = this.#content.traces[index] ?? {};
    return {
      stroke: () => this.#content.traces[index]?.stroke ?? 'transparent',
      width,
      ...(dash === undefined || dash.length === 0 ? {} : { dash: [...dash] }),
      points: { show: false },
    };
  }

  show(content: PlotContent): void {
    const plot = this.#plot;
    const old = this.#content;
    this.#content = content;
    const newData =
      content.traces.length !== this.#traces.length ||
      content.range.isLog !== old.range.isLog ||
      content.traces.some((t, i) => t.columns !== this.#traces[i]?.columns);
    // a series keeps its width and dash for life
    const isRestyled = content.traces.some(
      (t, i) => t.width !== this.#traces[i]?.width || t.dash !== this.#traces[i]?.dash,
    );
    while (isRestyled && plot.series.length > 1) plot.delSeries(plot.series.length - 1);
    while (plot.series.length - 1 < content.traces.length) plot.addSeries(this.#series(plot.series.length - 1));
    while (plot.series.length - 1 > content.traces.length) plot.delSeries(plot.series.length - 1);
    this.#traces = content.traces;
    plot.batch(() => {
      if (old.width !== content.width || old.height !== content.height) {
        plot.setSize({ width: Math.max(1, content.width), height: Math.max(1, content.height) });
      }
      if (newData || isRestyled) plot.setData(joined(content), false);
      const [min, max] = axisEnds(content.range);
      // setting the x scale builds the paths anew and draws, also where nothing but the painters changed
      plot.setScale('x', { min, max });
      plot.setScale('y', { min: content.range.lowDb, max: content.range.highDb });
    });
  }

  destroy(): void {
    this.#plot.destroy();
  }

  #paint(plot: uPlot, painter: Painter | null): void {
    if (painter === null) return;
    const { ctx } = plot;
    const ratio = uPlot.pxRatio;
    ctx.save();
    ctx.beginPath();
    ctx.rect(0, 0, plot.ctx.canvas.width, plot.ctx.canvas.height);
    ctx.clip();
    ctx.scale(ratio, ratio);
    painter(ctx, scalesOf(this.#content.width, this.#content.height, this.#content.range));
    ctx.restore();
  }
}
