import { createHash, createPrivateKey, createPublicKey, sign, verify, type KeyObject } from 'node:crypto';
import { InputError } from '../../model/input-problem.ts';
import { MANIFEST } from '../../report/packet/manifest.ts';

/** What `signature.json` holds. */
interface Signature {
  readonly schema: 'spurledger.signature/1';
  readonly algorithm: 'Ed25519';
  readonly signed: typeof MANIFEST;
  /** DER of the public key (SPKI, RFC 8410) in base64. */
  readonly public_key: string;
  readonly signature: string;
}

/** Signs the manifest's bytes. @throws InputError where the text is no Ed25519 private key */
export function signatureText(manifest: Uint8Array, privateKeyPem: string, file: string): string {
  const key = keyOf(
    file,
    'an Ed25519 private key (PEM, PKCS#8)',
    'Make one with: openssl genpkey -algorithm ed25519',
    () => createPrivateKey(privateKeyPem),
  );
  return textOf({
    schema: 'spurledger.signature/1',
    algorithm: 'Ed25519',
    signed: MANIFEST,
    public_key: derOf(createPublicKey(key)),
    signature: sign(null, manifest, key).toString('base64'),
  });
}

/** A public key of the user's. @throws InputError where the text is no Ed25519 key */
export function publicKeyOf(pem: string, file: string): KeyObject {
  return keyOf(file, 'an Ed25519 public key (PEM, SPKI)', 'Take it from the signer: openssl pkey -in KEY -pubout', () =>
    createPublicKey(pem),
  );
}

/** SHA-256 of a public key's DER: what two people can read to each other. */
export function fingerprint(key: KeyObject): string {
  return createHash('sha256')
    .update(Buffer.from(derOf(key), 'base64'))
    .digest('hex');
}

export interface SignatureCheck {
  /** What is wrong; null where the signature is good (and by the wanted key, where one is given). */
  readonly problem: { readonly found: string; readonly expected: string } | null;
  readonly fingerprint: string | null;
}

/** Checks a signature file over the manifest's bytes; every byte of it counts. */
export function checkSignature(text: string, manifest: Uint8Array, wanted: KeyObject | null): SignatureCheck {
  const wrong = (found: string, expected: string, print: string | null = null): SignatureCheck => ({
    problem: { found, expected },
    fingerprint: print,
  });
  let given: Signature;
  let key: KeyObject;
  try {
    given = JSON.parse(text) as Signature;
    if (typeof given.signature !== 'string' || typeof given.public_key !== 'string')
      throw new TypeError('no signature');
    key = createPublicKey({ key: Buffer.from(given.public_key, 'base64'), format: 'der', type: 'spki' });
  } catch {
    return wrong('a text that is no signature', 'the signature as it was written');
  }
  const { schema, algorithm, signed, public_key, signature } = given;
  if (
    schema !== 'spurledger.signature/1' ||
    algorithm !== 'Ed25519' ||
    signed !== MANIFEST ||
    key.asymmetricKeyType !== 'ed25519'
  )
    return wrong(
      `${String(algorithm)} over ${String(signed)} (${String(schema)})`,
      `Ed25519 over ${MANIFEST} (spurledger.signature/1)`,
    );
  const print = fingerprint(key);
  // base64 has spare bits, and JSON spare blanks: only the one form that is written counts
  const bytes = Buffer.from(signature, 'base64');
  const again = textOf({ schema, algorithm, signed, public_key: derOf(key), signature: bytes.toString('base64') });
  if (again !== text || public_key !== derOf(key))
    return wrong('a signature written in another form', 'the form it is written in', print);
  if (!verify(null, manifest, key, bytes))
    return wrong('a signature that does not fit the manifest', 'one over these bytes', print);
  if (wanted !== null && fingerprint(wanted) !== print)
    return wrong(`signed by the key ${print}`, `the key ${fingerprint(wanted)}`, print);
  return { problem: null, fingerprint: print };
}

function textOf(signature: Signature): string {
  return `${JSON.stringify(signature, null, 2)}\n`;
}

function derOf(key: KeyObject): string {
  return key.export({ type: 'spki', format: 'der' }).toString('base64');
}

function keyOf(file: string, expected: string, wayOut: string, make: () => KeyObject): KeyObject {
  let key: KeyObject;
  try {
    key = make();
  } catch {
    throw new InputError({
      file,
      place: 'the key',
      found: 'no key that can be read (or one locked by a passphrase)',
      expected,
      wayOut,
    });
  }
  if (key.asymmetricKeyType !== 'ed25519')
    throw new InputError({
      file,
      place: 'the key',
      found: `a key of type ${String(key.asymmetricKeyType)}`,
      expected,
      wayOut,
    });
  return key;
}
