/**
 * What the other side sees, before it is handed on.
 *
 * Enters: the text of a results file. Leaves: a frame that shows it with scripts off.
 * Always true: the frame is sandboxed; scripts and payloads are taken out first.
 * Never: runs the file inside this page.
 */
import { html, type TemplateResult } from 'lit';

export function preview(file: string): TemplateResult {
  const parsed = new DOMParser().parseFromString(file, 'text/html');
  for (const script of parsed.querySelectorAll('script, meta[http-equiv], link')) script.remove();
  return html`<iframe class="preview" title="The results file, with scripts off" sandbox="" srcdoc=${parsed.documentElement.outerHTML}></iframe>`;
}
