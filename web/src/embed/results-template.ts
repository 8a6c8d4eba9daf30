// What enters: nothing. What leaves: the template of the results file, with its own engine in it.
// Always true: the same template as the command line's; `Session.results_file` fills its slots.
// Never: fills a slot itself.

import { payloadText } from './payload.ts';

/** The template this page carries. Rejects with a plain sentence if it cannot be read. */
export function resultsTemplate(): Promise<string> {
  return payloadText('results-template.html');
}
