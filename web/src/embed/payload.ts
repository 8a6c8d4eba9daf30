// What enters: the name of a payload the build laid into the page. What leaves: its bytes or text.
// Always true: the same name works in all three homes; the decoded bytes are those the build read.
// Never: asks any other host, evaluates what it decodes, or writes to the page.
//
// The build leaves one inert <script type="text/plain" data-payload="NAME"> per payload. On the site it
// carries data-href, a file beside index.html; in the two files that open from disk, where `fetch` is not
// allowed, it carries the bytes themselves, gzipped and in base64 (data-encoding="gzip+base64") or, for
// text another program wrote in, as they are (data-encoding="json").

function element(name: string): HTMLScriptElement | undefined {
  for (const script of document.querySelectorAll<HTMLScriptElement>('script[data-payload]')) {
    if (script.dataset['payload'] === name) return script;
  }
  return undefined;
}

/** The names of all payloads in this page, in the order of the build. */
export function payloadNames(): string[] {
  return [...document.querySelectorAll<HTMLScriptElement>('script[data-payload]')].map(
    (script) => script.dataset['payload'] ?? '',
  );
}

/**
 * The bytes of one payload.
 *
 * Throws an `Error` with a plain sentence if the page has no payload of that name, if the file behind it
 * cannot be read, or if it was damaged.
 */
export async function payload(name: string): Promise<Uint8Array<ArrayBuffer>> {
  const script = element(name);
  if (script === undefined) throw new Error(`This page does not carry "${name}".`);
  const href = script.dataset['href'];
  if (href !== undefined) return read(name, new URL(href, document.baseURI));
  const text = script.textContent ?? '';
  switch (script.dataset['encoding']) {
    case 'gzip+base64':
      return gunzip(fromBase64(text.trim()));
    case 'json':
      return new TextEncoder().encode(text);
    default:
      throw new Error(`"${name}" is packed in a way this page does not know.`);
  }
}

/** The text of one payload, read as UTF-8. */
export async function payloadText(name: string): Promise<string> {
  return new TextDecoder().decode(await payload(name));
}

async function read(name: string, url: URL): Promise<Uint8Array<ArrayBuffer>> {
  // Bytes, not a stream compiled on the way: a plain static host may send WebAssembly with any content type.
  const response = await fetch(url);
  if (!response.ok) throw new Error(`"${name}" could not be read (${response.status}).`);
  return new Uint8Array(await response.arrayBuffer());
}

/** Bytes from base64. */
export function fromBase64(text: string): Uint8Array<ArrayBuffer> {
  const native = Uint8Array as typeof Uint8Array & {
    fromBase64?: (text: string) => Uint8Array<ArrayBuffer>;
  };
  if (native.fromBase64 !== undefined) return native.fromBase64(text);
  const binary = atob(text);
  const bytes = new Uint8Array(binary.length);
  for (let index = 0; index < binary.length; index += 1) bytes[index] = binary.charCodeAt(index);
  return bytes;
}

/** Bytes to base64. */
export function toBase64(bytes: Uint8Array): string {
  const native = bytes as Uint8Array & { toBase64?: () => string };
  if (native.toBase64 !== undefined) return native.toBase64();
  let binary = '';
  // A spread of the whole array would overflow the call stack.
  for (let start = 0; start < bytes.length; start += 0x8000) {
    binary += String.fromCharCode(...bytes.subarray(start, start + 0x8000));
  }
  return btoa(binary);
}

/** The bytes inside a gzip member. Throws if they are damaged. */
export async function gunzip(bytes: Uint8Array<ArrayBuffer>): Promise<Uint8Array<ArrayBuffer>> {
  return through(bytes, new DecompressionStream('gzip'));
}

/** The bytes as one gzip member. */
export async function gzip(bytes: Uint8Array<ArrayBuffer>): Promise<Uint8Array<ArrayBuffer>> {
  return through(bytes, new CompressionStream('gzip'));
}

async function through(
  bytes: Uint8Array<ArrayBuffer>,
  transform: ReadableWritablePair<Uint8Array<ArrayBuffer>, BufferSource>,
): Promise<Uint8Array<ArrayBuffer>> {
  const stream = new Blob([bytes]).stream().pipeThrough(transform);
  return new Uint8Array(await new Response(stream).arrayBuffer());
}
