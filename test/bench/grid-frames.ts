/**
 * What a picture costs the page while the grid of 5 000 lines through 40 states is scrolled and walked by keyboard
 * (`node test/bench/grid-frames.ts`). Script and layout are taken from the browser's own performance trace, by frame, as processor time of
 * the page's thread beside the clock. The grid is made up and put in place of the host's answer. Printed, never asserted: machines differ.
 */
import type { CDPSession, Page } from '@playwright/test';
import { Packr } from 'msgpackr';
import { PACKING, SOCKET_PATH, type AnswerMessage, type CallMessage } from '../../src-main/api/wire.ts';
import type { StateGrid, TrackCell } from '../../src-main/model/state-track.ts';
import { seededRandom } from '../engine/tracking/seeded-random.ts';
import { framesOf, spreadOf, withPage } from './page-trace.ts';

const TRACKS = 5000;
const STATES = 40;

await withPage('grid', measure);

async function measure(page: Page): Promise<void> {
  await page.routeWebSocket(
    (url) => url.pathname === SOCKET_PATH,
    (socket) => {
      const packr = new Packr(PACKING);
      const server = socket.connectToServer();
      const asked = new Set<number>();
      socket.onMessage((message) => {
        const call = packr.unpack(message as Buffer) as CallMessage;
        if (call.name === 'gridRun') asked.add(call.id);
        server.send(message);
      });
      server.onMessage((message) => {
        const answer = packr.unpack(message as Buffer) as AnswerMessage;
        const isGrid = answer.kind === 'answer' && asked.delete(answer.id) && answer.answer.ok;
        if (isGrid)
          socket.send(packr.pack({ ...answer, answer: { ok: true, value: grownGrid(answer.answer as never) } }));
        else socket.send(message);
      });
    },
  );
  await page.reload();
  await page.getByRole('button', { name: 'Open the invented demo (Wren)' }).click();
  await page.getByRole('grid', { name: 'Spurs' }).getByRole('row').nth(1).waitFor({ timeout: 120_000 });
  await page.getByRole('navigation', { name: 'Screens' }).getByRole('button', { name: 'Fixes' }).click();
  await page.getByRole('button', { name: 'All lines' }).click();
  const grid = page.getByRole('grid', { name: 'Lines through all states' });
  await grid.waitFor({ timeout: 120_000 });
  await grid.getByText(/^5\D?000 lines$/).waitFor({ timeout: 60_000 });
  console.log(
    `rows and columns: ${await grid.getAttribute('aria-rowcount')} × ${await grid.getAttribute('aria-colcount')}; cells in the page: ${await grid.getByRole('gridcell').count()}`,
  );
  const cdp = await page.context().newCDPSession(page);
  const box = (await grid.boundingBox())!;
  await page.mouse.move(box.x + box.width / 2, box.y + box.height / 2);
  const wheel = async (dx: number, dy: number, times = 60): Promise<void> => {
    for (let i = 0; i < times; i++) {
      await page.mouse.wheel(dx, dy);
      await page.waitForTimeout(25);
    }
  };
  const keys = async (key: string, times = 60): Promise<void> => {
    for (let i = 0; i < times; i++) {
      await page.keyboard.press(key);
      await page.waitForTimeout(25);
    }
  };
  console.log(
    `script and layout of a frame, ms      frames | on the clock: median p95 max | processor time: median p95 max`,
  );
  await traced(cdp, 'scrolling down, three rows a time', () => wheel(0, 60));
  await traced(cdp, 'scrolling down, a page at a time', () => wheel(0, 600));
  await traced(cdp, 'scrolling across', async () => {
    await wheel(120, 0, 30);
    await wheel(-120, 0, 30);
  });
  await grid.focus();
  await traced(cdp, 'walking down by keyboard', () => keys('ArrowDown', 120));
  await traced(cdp, 'walking down by pages', () => keys('PageDown'));
  await traced(cdp, 'walking across by keyboard', async () => {
    await keys('ArrowLeft', 35);
    await keys('ArrowRight', 35);
  });
}

/** Every line in every state, of a dozen sources. */
function grownGrid({ value }: { value: StateGrid }): StateGrid {
  const random = seededRandom(540);
  const sources = [...new Set(value.tracks.flatMap(({ source }) => (source === null ? [] : [source])))];
  const pattern = value.columns[0]!;
  const columns = Array.from({ length: STATES }, (_, i) => ({
    ...pattern,
    stateId: value.columns[i]?.stateId ?? 1000 + i,
    sentence: 'A-1, 12 lines before: −3.1 ± 1.4 dB over 10 seen on both sides; 2 cleared, by at least 8.2 dB each.',
  }));
  const statuses = ['persists', 'persists', 'weaker', 'stronger', 'cleared', 'hidden', 'new'] as const;
  const cell = (): TrackCell => {
    const status = statuses[Math.floor(random() * statuses.length)]!;
    const isSeen = status !== 'cleared' && status !== 'hidden';
    return {
      status,
      againstStateId: pattern.stateId,
      levelDb: isSeen ? -110 + 50 * random() : null,
      levelSigmaDb: isSeen ? 0.4 : null,
      frequencyHz: isSeen ? 1e6 : null,
      upperLimitDb: isSeen ? null : -115 + 10 * random(),
      changeDb: isSeen ? 8 * random() - 4 : null,
      changeSigmaDb: isSeen ? 1.4 : null,
      atLeastDb: status === 'cleared' ? 8 : null,
      exercised: 'shown',
      overAllowedDb: random() < 0.2 ? 10 * random() - 5 : null,
      why: 'Seen on both sides; −1.2 dB ± 1.4 dB is within the 2.8 dB that noise and set-up may do.',
    };
  };
  const tracks = Array.from({ length: TRACKS }, (_, i) => ({
    number: i + 1,
    source: i % 13 === 12 ? null : sources[i % sources.length]!,
    harmonic: 3 + Math.floor(i / sources.length),
    cause: i % 13 === 12 ? ('unexplained' as const) : ('source' as const),
    candidates: [],
    frequencyHz: 1e6 + 5e3 * i,
    band: null,
    cells: columns.map(() => cell()),
  }));
  return { ...value, columns, tracks };
}

/** Frame by frame: time in script and layout on the page's main thread while something is done. */
async function traced(cdp: CDPSession, what: string, act: () => Promise<void>): Promise<void> {
  const { busy } = await framesOf(cdp, act);
  console.log(
    `${what.padEnd(38)} ${String(busy.length).padStart(5)} | ${spreadOf(busy, 'clock', 7)} | ${spreadOf(busy, 'processor', 7)}`,
  );
}
