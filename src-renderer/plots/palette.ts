import type { Look } from '../state/look.svelte.ts';
import type { OwnerLook } from '../state/source-names.ts';

export type Paint = string | CanvasPattern;

/** The colours of tokens.css as a canvas needs them: resolved values, read anew whenever the look changes. */
export interface Palette {
  readonly ink: string;
  readonly ink2: string;
  readonly ink3: string;
  readonly then: string;
  readonly paper: string;
  readonly rule: string;
  readonly rule2: string;
  readonly edge: string;
  readonly band: string;
  readonly shade: string;
  readonly over: string;
  readonly pen: string;
  readonly penWash: string;
  /** For a word that must be read as “over”. */
  readonly overText: string;
  /** Strength of a source's tint behind figures. */
  readonly threadAlpha: number;
  readonly traceNow: number;
  /** Scale of every size: desk 1, projector 1.3 … */
  readonly k: number;
  /** The page's sans letters at so many pixels of a desk, as a canvas wants them. */
  font(px: number, weight?: number): string;
  tint(look: OwnerLook | undefined): Paint;
  readonly hatch: Paint;
  readonly dots: Paint;
}

function pattern(size: number, paint: (ctx: CanvasRenderingContext2D) => void): Paint {
  const canvas = document.createElement('canvas');
  canvas.width = canvas.height = size;
  const ctx = canvas.getContext('2d')!;
  paint(ctx);
  return ctx.createPattern(canvas, 'repeat')!;
}

export function readPalette(root: HTMLElement = document.documentElement): Palette {
  const style = getComputedStyle(root);
  const value = (name: string) => style.getPropertyValue(name).trim();
  const [ink, ink3, paper] = [value('--ink'), value('--ink-3'), value('--paper')];
  // Custom properties that name others resolve to their text; the hues sit one step further.
  const hues = new Map<string, string>();
  const hue = (name: string) => {
    let known = hues.get(name);
    // asking the browser costs as much as painting, and every mark asks
    if (known === undefined) hues.set(name, (known = value(/^var\((.+)\)$/.exec(value(name))?.[1] ?? name)));
    return known;
  };
  const stripes = new Map<number, Paint>();
  const stripe = (tint: number) => {
    const known = stripes.get(tint);
    if (known !== undefined) return known;
    const made = pattern(4, (ctx) => {
      ctx.fillStyle = paper;
      ctx.fillRect(0, 0, 4, 4);
      ctx.fillStyle = hue(`--tint-${tint}`);
      ctx.fillRect(0, 0, 2, 4);
    });
    stripes.set(tint, made);
    return made;
  };
  const sans = value('--sans') || 'sans-serif';
  const k = parseFloat(value('--k')) || 1;
  return {
    ink,
    ink2: value('--ink-2'),
    ink3,
    paper,
    then: value('--then'),
    rule: value('--rule'),
    rule2: value('--rule-2'),
    edge: value('--edge'),
    band: value('--band'),
    shade: value('--shade'),
    over: hue('--over'),
    pen: hue('--pen'),
    penWash: value('--pen-wash'),
    overText: hue('--over-text'),
    threadAlpha: parseFloat(value('--thread-a')) || 0.42,
    traceNow: parseFloat(value('--trace-now')) || 1.15,
    k,
    font: (px, weight = 400) => `${weight} ${px * k}px ${sans}`,
    tint: (look) =>
      look === undefined || look.tint === null ? ink3 : look.stripe ? stripe(look.tint) : hue(`--tint-${look.tint}`),
    hatch: pattern(7, (ctx) => {
      ctx.fillStyle = paper;
      ctx.fillRect(0, 0, 7, 7);
      ctx.strokeStyle = ink;
      ctx.lineWidth = 1.7;
      ctx.beginPath();
      for (const shift of [-7, 0, 7]) {
        ctx.moveTo(shift - 1, 8);
        ctx.lineTo(shift + 8, -1);
      }
      ctx.stroke();
    }),
    dots: pattern(6, (ctx) => {
      ctx.fillStyle = ink3;
      for (const at of [1.5, 4.5]) {
        ctx.beginPath();
        ctx.arc(at, at, 0.75, 0, 7);
        ctx.fill();
      }
    }),
  };
}

/** The palette of a look, which is put on the page first: read before that, the colours would be those of the look before. */
export function paletteOf(look: Look): Palette {
  look.apply(document.documentElement);
  return readPalette();
}
