import { describe, expect, test } from 'vitest';
import { Views } from '../../src-renderer/state/views.svelte.ts';

function views(): Views {
  const made = new Views();
  made.reset(1e6, 21e6);
  return made;
}

describe('Views', () => {
  test('begins with the whole capture and nowhere to go back to', () => {
    const v = views();
    expect(v.current).toEqual({ lowHz: 1e6, highHz: 21e6, lowDb: null, highDb: null });
    expect(v.isWhole).toBe(true);
    expect(v.canGoBack).toBe(false);
  });

  test('zooming about a frequency leaves that frequency where it was on the screen', () => {
    const v = views();
    const place = () => (6e6 - v.current.lowHz) / (v.current.highHz - v.current.lowHz);
    const before = place();
    v.zoom(0.5, 6e6);
    expect(place()).toBeCloseTo(before, 12);
    expect(v.current.highHz - v.current.lowHz).toBeCloseTo(10e6, 3);
  });

  test('no view reaches beyond the capture, and none is wider than it', () => {
    const v = views();
    v.show({ lowHz: -5e6, highHz: 5e6 });
    expect(v.current.lowHz).toBe(1e6);
    expect(v.current.highHz - v.current.lowHz).toBeCloseTo(10e6, 3);
    v.zoom(100, 3e6);
    expect(v.current.lowHz).toBe(1e6);
    expect(v.current.highHz).toBe(21e6);
  });

  test('panning stops at either end and keeps the width to the last bit that matters', () => {
    const v = views();
    v.show({ lowHz: 2e6, highHz: 3e6 });
    for (let i = 0; i < 50; i++) v.pan(0.5);
    expect(v.current.highHz).toBeCloseTo(21e6, 3);
    expect(v.current.highHz - v.current.lowHz).toBeCloseTo(1e6, 3);
    for (let i = 0; i < 90; i++) v.pan(-0.5);
    expect(v.current.lowHz).toBe(1e6);
  });

  test('back and forward walk through the views in order, and a new view cuts off the way forward', () => {
    const v = views();
    v.show({ lowHz: 2e6, highHz: 8e6 });
    v.show({ lowHz: 3e6, highHz: 4e6 });
    v.back();
    expect(v.current.lowHz).toBe(2e6);
    v.back();
    expect(v.isWhole).toBe(true);
    v.forward();
    expect(v.current.lowHz).toBe(2e6);
    v.show({ lowHz: 5e6, highHz: 6e6 });
    expect(v.canGoForward).toBe(false);
    v.back();
    expect(v.current.lowHz).toBe(2e6);
  });

  test('a wheel turned without pause is one step back', () => {
    const v = views();
    v.zoom(0.8, 6e6, true);
    for (let i = 0; i < 9; i++) v.zoom(0.8, 6e6, false);
    v.back();
    expect(v.isWhole).toBe(true);
    expect(v.canGoBack).toBe(false);
  });

  test('going to a frequency well in sight moves nothing', () => {
    const v = views();
    v.show({ lowHz: 4e6, highHz: 8e6 });
    const seen = v.current;
    v.goTo(6e6);
    expect(v.current).toBe(seen);
    v.goTo(12e6);
    expect(v.current.lowHz).toBe(10e6);
    expect(v.current.highHz).toBe(14e6);
  });

  test('another capture of the same span keeps the view, one of another span shows the whole', () => {
    const v = views();
    v.show({ lowHz: 4e6, highHz: 8e6 });
    v.reset(1e6, 21e6, true);
    expect(v.current.lowHz).toBe(4e6);
    v.reset(100e6, 200e6, true);
    expect(v.isWhole).toBe(true);
  });
});
