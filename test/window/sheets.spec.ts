/** The sheets that stand beside the main work: transfers, fit to compare, photographs, overlays, rows, differences, table layouts. */
import { deflateSync } from 'node:zlib';
import type { Page } from '@playwright/test';
import { captureFile, DIGITAL, MAIN, STRANGER } from './bench-files.ts';
import { expect, test } from './fixture.ts';
import {
  filesByKey,
  idle,
  openDemo,
  pressButton,
  slip,
  spurs,
  tab,
  tabTo,
  typeInto,
  wren,
  type Upload,
} from './steps.ts';

const text = (name: string, content: string): Upload => ({ name, mimeType: 'text/csv', buffer: Buffer.from(content) });

/** A grey picture as a PNG file (ISO/IEC 15948): signature, header, data, end, each chunk with its CRC-32. */
function picture(name: string, width = 40, height = 30): Upload {
  const crc = (bytes: Buffer): number => {
    let c = 0xffffffff;
    for (const byte of bytes) {
      c ^= byte;
      for (let k = 0; k < 8; k++) c = c & 1 ? (c >>> 1) ^ 0xedb88320 : c >>> 1;
    }
    return (c ^ 0xffffffff) >>> 0;
  };
  const chunk = (type: string, data: Buffer): Buffer => {
    const body = Buffer.concat([Buffer.from(type), data]);
    const out = Buffer.alloc(body.length + 8);
    out.writeUInt32BE(data.length, 0);
    body.copy(out, 4);
    out.writeUInt32BE(crc(body), body.length + 4);
    return out;
  };
  const header = Buffer.alloc(13);
  header.writeUInt32BE(width, 0);
  header.writeUInt32BE(height, 4);
  header.set([8, 0, 0, 0, 0], 8);
  const rows = Buffer.alloc(height * (width + 1), 0x90);
  for (let y = 0; y < height; y++) rows[y * (width + 1)] = 0;
  const signature = Buffer.from([0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a]);
  const buffer = Buffer.concat([
    signature,
    chunk('IHDR', header),
    chunk('IDAT', deflateSync(rows)),
    chunk('IEND', Buffer.alloc(0)),
  ]);
  return { name, mimeType: 'image/png', buffer };
}

async function twoCaptures(page: Page): Promise<void> {
  await page
    .locator('input[type=file][aria-label="Open captures"]')
    .setInputFiles([
      captureFile('before.csv', 11, [MAIN, DIGITAL, STRANGER]),
      captureFile('after.csv', 12, [MAIN, { ...DIGITAL, levelDbm: DIGITAL.levelDbm - 14 }, STRANGER]),
    ]);
  await expect(page.getByRole('heading', { name: '2 files' })).toBeVisible({ timeout: 60_000 });
  await idle(page);
  await page.keyboard.press('Escape');
  await expect(spurs(page).getByRole('row').nth(1)).toBeVisible();
}

test('a probe place is pinned on a photograph by keyboard, kept, moved, taken away, and back by undo', async ({
  bench: { page, complaints },
}) => {
  await tab(page, 'Fixes').click();
  await page.keyboard.press('p');
  await typeInto(page, page.getByLabel('Name'), 'over the coil');
  await page.keyboard.press('Enter');
  await expect(page.getByRole('button', { name: /^over the coil/ })).toBeVisible();
  await page.keyboard.press('m');
  const sheet = page.getByRole('dialog', { name: 'Where the probe was held' });
  await expect(sheet).toContainText('No photograph yet');
  const [chooser] = await Promise.all([
    page.waitForEvent('filechooser'),
    pressButton(page, sheet.getByRole('button', { name: 'Take in a photograph' })),
  ]);
  await chooser.setFiles([picture('open-build.png')]);
  const place = sheet.getByRole('application', { name: /^open-build\.png/ });
  await expect(place).toBeVisible();
  await tabTo(page, place);
  await page.keyboard.press('ArrowRight');
  const pin = sheet.locator('.pin');
  await expect(pin).toHaveCount(1);
  await expect(sheet).toContainText('pinned, 0 captures');
  const left = () => pin.evaluate((element: HTMLElement) => parseFloat(element.style.left));
  const first = await left();
  await page.keyboard.press('ArrowRight');
  await expect.poll(left).toBeCloseTo(first + 1, 5);
  await page.keyboard.press('Delete');
  await expect(pin).toHaveCount(0);
  await page.keyboard.press('Escape');
  await page.keyboard.press('Control+z');
  await page.keyboard.press('m');
  await expect(sheet.locator('.pin')).toHaveCount(1);
  expect(complaints).toEqual([]);
});

test('captures are laid over the one on the bench, drawn as their largest, and taken off again', async ({
  bench: { page, complaints },
}) => {
  test.setTimeout(120_000);
  await twoCaptures(page);
  await page.keyboard.press('c');
  await page
    .getByRole('row', { name: /after\.csv/ })
    .getByRole('button', { name: 'Lay over' })
    .click();
  await page.keyboard.press('Escape');
  const off = page.getByRole('button', { name: /^Take .*\.csv off$/ });
  await expect(off).toHaveCount(1);
  await page.getByRole('combobox', { name: 'All of them together' }).selectOption('largest');
  await idle(page);
  await off.click();
  await expect(off).toHaveCount(0);
  expect(complaints).toEqual([]);
});

test('a difference is measured from a mark to the pointer of the keyboard, and the mark is taken away', async ({
  bench: { page },
}) => {
  test.setTimeout(120_000);
  await twoCaptures(page);
  await page.keyboard.press('ArrowRight');
  await expect(slip(page)).toContainText('Spur 1');
  await page.keyboard.press('m');
  await page.keyboard.press('ArrowRight');
  await expect(slip(page)).toContainText('Spur 2');
  await expect(page.getByText(/from the mark|since the mark|from mark|Δ|difference/i).first()).toBeVisible();
  await page.keyboard.press('m');
});

test('the captures of a point stand as rows, by state, and a row is put on the bench by keyboard', async ({
  bench: { page, complaints },
}) => {
  test.setTimeout(180_000);
  await openDemo(page);
  await page.keyboard.press('t');
  const rows = page.getByRole('list', { name: 'Captures as rows over frequency' });
  await expect(rows.getByRole('listitem')).not.toHaveCount(0);
  await expect(page.getByRole('img', { name: /^Paper is −\d+ dBm and less/ })).toBeVisible();
  await page.getByRole('combobox', { name: /rows by/ }).selectOption({ index: 1 });
  const last = rows.getByRole('button').last();
  await tabTo(page, last);
  await page.keyboard.press('Enter');
  await expect(last).toHaveAttribute('aria-current', 'true');
  await page.keyboard.press('t');
  await expect(spurs(page)).toBeVisible();
  expect(complaints).toEqual([]);
});

test('what speaks against a comparison is said before it is run', async ({ bench: { page } }) => {
  test.setTimeout(120_000);
  await page.locator('input[type=file][aria-label="Open captures"]').setInputFiles([
    wren('captures/s0-as-built-1.csv'),
    {
      ...wren('captures/s3-shield-can.csv'),
      buffer: Buffer.from(
        wren('captures/s3-shield-can.csv')
          .buffer.toString()
          .replace('resolution bandwidth (Hz),3000', 'resolution bandwidth (Hz),1000'),
      ),
    },
  ]);
  await expect(page.getByRole('heading', { name: '2 files' })).toBeVisible({ timeout: 60_000 });
  await idle(page);
  await page.keyboard.press('Escape');
  await tab(page, 'Fixes').click();
  for (const name of ['S0', 'S1']) {
    await expect(page.getByRole('button', { name: 'Add a state' })).toBeVisible();
    await expect(page.getByLabel('Name')).toHaveCount(0);
    await page.keyboard.press('s');
    await expect(page.getByLabel('Name')).toHaveValue(name);
    await page.keyboard.press('Enter');
    await expect(page.getByRole('article', { name: `State ${name}` })).toBeVisible();
  }
  await page.getByRole('button', { name: /belong to no state/ }).click();
  for (const [file, state] of [
    ['s0-as-built-1', 'S0'],
    ['s3-shield-can', 'S1'],
  ] as const) {
    await page.getByRole('checkbox', { name: `Mark ${file}.csv` }).check();
    await page.getByRole('combobox', { name: 'Assign to state' }).selectOption({ label: `${state} ` });
    await expect(page.getByRole('row', { name: new RegExp(file) })).toContainText(state);
    await page.getByRole('checkbox', { name: `Mark ${file}.csv` }).uncheck();
  }
  await page.keyboard.press('Escape');
  await page.getByRole('article', { name: 'State S1' }).getByRole('button', { name: /^S1/ }).click();
  const fit = page.getByRole('region', { name: 'Fit to compare?' });
  await expect(fit).toContainText(/bandwidth/i);
  await expect(fit).toContainText(/3\D?000|3 kHz|1 kHz/);
});

test('a point’s transfer is entered on the calibration sheet and the capture’s levels are taken to the receiver', async ({
  bench: { page },
}) => {
  test.setTimeout(120_000);
  await openDemo(page);
  await page.keyboard.press('i');
  await page.getByRole('button', { name: 'Calibration chain' }).click();
  const sheet = page.getByRole('dialog', { name: 'Calibration chain' });
  await expect(sheet.getByRole('button', { name: 'Take the transfer in …' })).toBeDisabled();
  await sheet.getByLabel('Unit at the point').fill('dBm');
  await sheet.getByLabel('Unit at the receiver').fill('dBm');
  await sheet.getByLabel('Transfer of the day').fill('31.1.2026');
  await expect(sheet).toContainText('write it as 2026-01-31');
  await sheet.getByLabel('Transfer of the day').fill('2026-01-31');
  await sheet.getByLabel('Where the numbers are from').fill('measured with a tone, sheet 4');
  const [chooser] = await Promise.all([
    page.waitForEvent('filechooser'),
    sheet.getByRole('button', { name: 'Take the transfer in …' }).click(),
  ]);
  await chooser.setFiles([
    text('transfer.csv', 'frequency_hz,value_db,uncertainty_db\n100000,-20,0.5\n30000000,-22,0.8\n'),
  ]);
  await expect(sheet).toContainText('measured with a tone, sheet 4');
  await sheet.getByRole('combobox', { name: 'To the receiver’s input' }).selectOption({ index: 1 });
  await idle(page);
  await expect(sheet.getByRole('combobox', { name: 'To the receiver’s input' })).not.toHaveValue('');
  await page.keyboard.press('Escape');
  await page.keyboard.press('Control+z');
  await page.keyboard.press('i');
  await page.getByRole('button', { name: 'Calibration chain' }).click();
  await expect(sheet.getByRole('combobox', { name: 'To the receiver’s input' })).toHaveValue('');
});

test('a table of an unknown layout is looked at and read otherwise by keyboard alone', async ({ bench: { page } }) => {
  await expect(page.getByRole('heading', { name: 'No capture yet' })).toBeVisible();
  const rows = Array.from({ length: 200 }, (_, i) => `${(-90 - ((i * 7) % 5)).toFixed(1)},${(1 + i / 10).toFixed(1)}`);
  await filesByKey(page, 'o', [
    text('odd.csv', `taken 2026-03-01\n${rows.join('\n')}\n`),
    text('odd-2.csv', `taken 2026-03-02\n${rows.join('\n')}\n`),
  ]);
  const line = page.getByRole('dialog').getByRole('listitem').filter({ hasText: 'odd.csv' });
  await pressButton(page, line.getByRole('button', { name: 'Read it otherwise' }));
  await expect(page.getByRole('heading', { name: 'How odd.csv is read' })).toBeVisible();
  await typeInto(page, page.getByLabel('Axis in column'), '2');
  await typeInto(page, page.getByLabel('Levels in columns'), '1');
  await tabTo(page, page.getByLabel('Frequencies are in'));
  await page.keyboard.type('MHz');
  await typeInto(page, page.getByLabel('Level unit'), 'dBm');
  await expect(page.getByText('1–20.9 MHz, dBm')).toBeVisible();
  await pressButton(page, page.getByRole('button', { name: 'Read it so' }));
  await expect(line).toContainText('1–20.9 MHz, dBm');
});
