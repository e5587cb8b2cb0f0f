import { inNextFrame } from '../state/frame.ts';

/** What a hand on the spectrum can mean; positions in CSS pixels of the plotting area. */
export interface GestureActions {
  hover(x: number | null, y: number): void;
  click(x: number, y: number): void;
  /** A box being drawn, or null when it is gone. */
  box(box: { x0: number; y0: number; x1: number; y1: number } | null): void;
  zoomTo(box: { x0: number; y0: number; x1: number; y1: number }): void;
  /** Moves the view by `dx` pixels since the drag began. */
  panStart(): void;
  panBy(dx: number): void;
  wheel(x: number, factor: number): void;
  wheelPan(share: number): void;
}

type Phase = { name: 'idle' } | { name: 'pressing' | 'boxing' | 'panning'; x: number; y: number; pointer: number };

/** Pixels a press may wander and still be a click. */
const SLACK = 4;

/** Pointer and wheel on the spectrum as a small state machine: idle, pressing, boxing, panning. Every way out ends in idle. */
export function gestures(actions: GestureActions): (host: HTMLElement) => () => void {
  return (host) => {
    let phase: Phase = { name: 'idle' };
    const place = (event: MouseEvent) => {
      const box = host.getBoundingClientRect();
      return { x: event.clientX - box.left, y: event.clientY - box.top };
    };
    const leave = () => {
      if (phase.name === 'boxing') actions.box(null);
      phase = { name: 'idle' };
    };
    const down = (event: PointerEvent) => {
      if (event.button > 1) return;
      const { x, y } = place(event);
      const isPan = event.shiftKey || event.button === 1;
      phase = { name: isPan ? 'panning' : 'pressing', x, y, pointer: event.pointerId };
      host.setPointerCapture(event.pointerId);
      if (isPan) actions.panStart();
    };
    let at: { x: number; y: number } | null = null;
    const move = (event: PointerEvent) => {
      if (at === null) inNextFrame(doMove);
      at = place(event);
    };
    const doMove = () => {
      if (at === null) return;
      const { x, y } = at;
      at = null;
      if (phase.name === 'idle') return actions.hover(x, y);
      if (phase.name === 'panning') return actions.panBy(x - phase.x);
      if (phase.name === 'pressing' && Math.hypot(x - phase.x, y - phase.y) > SLACK)
        phase = { ...phase, name: 'boxing' };
      if (phase.name === 'boxing') actions.box({ x0: phase.x, y0: phase.y, x1: x, y1: y });
    };
    const up = (event: PointerEvent) => {
      doMove();
      const { x, y } = place(event);
      const ended = phase;
      leave();
      if (ended.name === 'pressing') actions.click(x, y);
      if (ended.name === 'boxing') actions.zoomTo({ x0: ended.x, y0: ended.y, x1: x, y1: y });
    };
    const out = () => {
      at = null;
      actions.hover(null, 0);
    };
    // A wheel fires several times between two pictures: what it asks for is gathered and done once for each.
    let turn: { x: number; factor: number; share: number } | null = null;
    const doTurn = () => {
      const { x, factor, share } = turn!;
      turn = null;
      if (share !== 0) actions.wheelPan(share);
      if (factor !== 1) actions.wheel(x, factor);
    };
    const wheel = (event: WheelEvent) => {
      event.preventDefault();
      const { x } = place(event);
      const lines = event.deltaMode === WheelEvent.DOM_DELTA_LINE ? 16 : 1;
      if (turn === null) inNextFrame(doTurn);
      turn = { x, factor: turn?.factor ?? 1, share: turn?.share ?? 0 };
      if (event.shiftKey || Math.abs(event.deltaX) > Math.abs(event.deltaY)) {
        const delta = (event.shiftKey ? event.deltaY + event.deltaX : event.deltaX) * lines;
        turn.share += delta / host.clientWidth;
      } else turn.factor *= Math.exp(event.deltaY * lines * 0.0016);
    };
    const key = (event: KeyboardEvent) => {
      if (event.key === 'Escape' && phase.name !== 'idle') leave();
    };
    host.addEventListener('pointerdown', down);
    host.addEventListener('pointermove', move);
    host.addEventListener('pointerup', up);
    host.addEventListener('pointercancel', leave);
    host.addEventListener('pointerleave', out);
    host.addEventListener('wheel', wheel, { passive: false });
    window.addEventListener('keydown', key);
    return () => {
      host.removeEventListener('pointerdown', down);
      host.removeEventListener('pointermove', move);
      host.removeEventListener('pointerup', up);
      host.removeEventListener('pointercancel', leave);
      host.removeEventListener('pointerleave', out);
      host.removeEventListener('wheel', wheel);
      window.removeEventListener('keydown', key);
    };
  };
}
