export const USAGE = `spurledger: find, name and follow the spurs that a payload's own electronics put into its receive band

  spurledger read CAPTURE…                             say what was understood of a file
  spurledger triage CAPTURE…                           find floor, spurs and combs, name their sources
      [--sources FILE.csv] [--conditions FILE.csv] [--bands FILE.csv] [--register FILE]
  spurledger compare --before FILE… --after FILE…      follow every spur from before to after
      [--sources FILE.csv] [--conditions FILE.csv] [--bands FILE.csv] [--register FILE]
  spurledger plan --sources FILE.csv --bands FILE.csv  say what each source costs, and find better switching frequencies
      [--seed N] [--leakage-hz N] [--temperature-span-k N]
  spurledger packet --register FILE --out FOLDER [--key FILE]
                                                       write the sign-off packet of the latest frozen revision
  spurledger verify PACKET [--public-key FILE]         check every sum, compute every result again

  --json        one JSON document on standard output instead of a table
  --trace N     analyse the N-th trace of each file (1 is the first) instead of the first that is not blank
  --register    keep what was read and found in this register file (made where there is none); without --sources its
                sources are used
  --help        this text          --version     the version

  --re-rigged   the repeats of compare were each set up anew, so they tell how well the set-up repeats
  --seed N      starts the random numbers of plan (default 1): the same seed gives the same plans
  --leakage-hz  what lies so near beside a line is lost too (default 0)
  --temperature-span-k  drift of plan counts over ± so many kelvin (default 40)

  --out         folder of the packet; one that is there is never written into
  --key         sign the packet with this Ed25519 private key (PEM); --public-key: verify that this key signed it

  Of recordings (WAV, SigMF, NumPy, time against voltage) a spectrum is made first:
  --rbw-hz N    its noise bandwidth; the window's length follows (RBW = ENBW × fs / N)
  --window NAME rectangular, hann, hamming, blackman, exact-blackman, blackman-harris (default), nuttall, flat-top
  --overlap N   share that neighbouring segments have in common (default 0.66)
  --centre-hz, --sample-rate-hz       where the file does not say, or says wrongly
  --volts-per-unit N, --impedance-ohm N   for levels in dBV or dBm instead of dBFS

  Where a file does not say how it is to be read, or says wrongly (believed over every file of the call):
  --separator comma|semicolon|tab|bar|blank   --decimal-mark point|comma   --first-row LINE
  --axis-column N   --level-columns N,N   --axis frequency|time   --frequency-unit Hz|kHz|MHz|GHz   --unit UNIT
  --start-hz N --step-hz N     for levels without frequencies (a NumPy array, a column of levels)
  --two-channels iq|signals    what the two channels of a recording are

  Several captures of one triage serve each other as references, by the roles in the conditions (item, off, terminated,
  attenuated), the sources on and off, and the temperature; with --register, those kept there from the same point too.

  Several files after --before or --after are repeats of one state. Tables and documents are written to standard
  output, progress and warnings to standard error.

Exit status: 0 done; 1 a fault of the program; 2 the call is wrong; 3 an input could not be read or was refused
(the others are still done).
`;
