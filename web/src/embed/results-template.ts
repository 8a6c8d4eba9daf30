// What enters: a title, the table as it reads without scripts, and named payloads. What leaves: the text of
// one results file.
// Always true: the file carries the same core as this page; the title is escaped; payloads are inert.
// Never: escapes `body` (the caller built it from escaped parts), or adds an address to the file.

import { gzip, payload, payloadText, toBase64 } from './payload.ts';

/** What goes into a results file. */
export interface ResultsParts {
  /** Plain text for the title. */
  title: string;
  /** Markup shown as it is, also with scripts off. Every piece of data in it must already be escaped. */
  body: string;
  /** Bytes by payload name, for the viewer to read with `payload(name)`. */
  payloads: Readonly<Record<string, Uint8Array<ArrayBuffer>>>;
}

/** Writes a results file from the template this page carries. */
export async function resultsFile(parts: ResultsParts): Promise<string> {
  const payloads = [await element('core.wasm', await payload('core.wasm'))];
  for (const [name, bytes] of Object.entries(parts.payloads)) payloads.push(await element(name, bytes));
  const slots: Record<string, string> = {
    title: escaped(parts.title),
    body: parts.body,
    payloads: payloads.join('\n'),
  };
  const shell = await payloadText('results-shell.html');
  return shell.replace(/<!--fairpen:([a-z]+)-->/g, (whole, slot: string) => slots[slot] ?? whole);
}

async function element(name: string, bytes: Uint8Array<ArrayBuffer>): Promise<string> {
  const text = toBase64(await gzip(bytes));
  return `<script type="text/plain" data-payload="${escaped(name)}" data-encoding="gzip+base64">${text}</script>`;
}

function escaped(text: string): string {
  const entities: Record<string, string> = { '&': '&amp;', '<': '&lt;', '>': '&gt;', '"': '&quot;', "'": '&#39;' };
  return text.replace(/[&<>"']/g, (character) => entities[character] ?? character);
}
