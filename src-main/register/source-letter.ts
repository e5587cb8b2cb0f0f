/** A, B … Z, AA, AB …: the letter of the n-th source ever entered, n from 0. */
export function letterOf(place: number): string {
  let n = place;
  let text = '';
  do {
    text = String.fromCharCode(65 + (n % 26)) + text;
    n = Math.floor(n / 26) - 1;
  } while (n >= 0);
  return text;
}
