import type { PacketContents } from '../../model/packet.ts';
import { formatDate } from './date-text.ts';
import { pageText } from './safe-text.ts';

/** What lies where in the packet, and how to check it with nothing of ours. */
export function readmeText({ title, freeze, at, engineVersion, isInvented }: PacketContents): string {
  return `${pageText(title)}
Sign-off packet, ${freeze === null ? 'draft (no state was frozen)' : `revision ${freeze.revision}, state ${pageText(freeze.stateName)}`}, ${formatDate(at)}
${isInvented ? 'Invented demonstration data: nothing here was measured on hardware.\n' : ''}
packet.pdf        for print; packet.html the same for a browser, with nothing installed and no network
packet.json       what the packet rests on: configuration, sources, bands, requirements, captures with settings and conditions
captures/         the original files as they came from the instrument
traces/           each trace as read: frequency_hz, level in the unit that packet.json states for it; an empty cell is no value
results/          everything computed: per capture its triage and its floor, the comparisons, the verdicts, the re-checks
tables/           the same for spreadsheets; a text that a spreadsheet would take for a formula bears an apostrophe
plots/            the spectra as SVG
licences/         of the typeface in packet.pdf
manifest.sha256   SHA-256 of every file but itself and signature.json
signature.json    where there is one: Ed25519 (RFC 8032) over the bytes of manifest.sha256

Numbers are written in the shortest decimal form that reads back to the same IEEE 754 double. {"$number":"NaN"} stands for what JSON
cannot hold. Levels named …Db are decibels of the capture's unit.

To check the sums:      sha256sum -c manifest.sha256
To check the results:   spurledger verify PACKET
                        or compute them with tools of your own from traces/ and packet.json.
Written by spurledger ${engineVersion}. The same version gives the same bytes; another version must give the same spurs, sources and
statuses, and every number within one millionth of its size (10^-6 where it is smaller than one).
`;
}
