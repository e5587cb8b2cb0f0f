export const USAGE = `spurledger: find, name and follow the spurs that a payload's own electronics put into its receive band

  spurledger read CAPTURE…                             say what was understood of a file
  spurledger triage CAPTURE…                           find floor, spurs and combs, name their sources
      [--sources FILE.csv] [--conditions FILE.csv] [--bands FILE.csv] [--register FILE]
  spurledger compare --before FILE… --after FILE…      follow every spur from before to after
      [--sources FILE.csv] [--conditions FILE.csv] [--bands FILE.csv] [--register FILE]

  --json        one JSON document on standard output instead of a table
  --trace N     analyse the N-th trace of each file (1 is the first) instead of the first that is not blank
  --register    keep what was read and found in this register file (made where there is none); without --sources its
                sources are used
  --help        this text          --version     the version

  --re-rigged   the repeats of compare were each set up anew, so they tell how well the set-up repeats

  Several files after --before or --after are repeats of one state. Tables and documents are written to standard
  output, progress and warnings to standard error.

Not in this version yet: plan, packet, verify.

Exit status: 0 done; 1 a fault of the program; 2 the call is wrong; 3 an input could not be read or was refused
(the others are still done).
`;
