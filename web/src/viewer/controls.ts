// What enters: the groups and the table. What leaves: a line of controls above the calves.
// Always true: the number of calves shown is said after every change.
// Never: hides a calf without saying how many.

import type { CalfTable } from './calf-table.ts';
import type { HandedOver } from './handed-over.ts';

/** The controls; `differing` can be offered once the marks are there. */
export interface Controls {
  line: HTMLElement;
  offerDiffering: () => void;
  say: (n: number) => void;
}

function labelled(text: string, control: HTMLElement): HTMLLabelElement {
  const label = document.createElement('label');
  label.append(text, control);
  return label;
}

/** Makes the line. */
export function makeControls(given: HandedOver, table: () => CalfTable): Controls {
  const line = document.createElement('div');
  line.className = 'controls';
  const find = document.createElement('input');
  find.type = 'search';
  find.autocomplete = 'off';
  const groups = document.createElement('select');
  groups.append(new Option('all groups', '-1'));
  given.groups?.groups.forEach((group, at) => groups.append(new Option(group.name, String(at))));
  const only = document.createElement('input');
  only.type = 'checkbox';
  const count = document.createElement('p');
  count.setAttribute('role', 'status');
  const apply = (): void => table().filter(find.value, Number(groups.value), only.checked);
  for (const control of [find, groups, only]) control.addEventListener('input', apply);
  line.append(labelled('Find', find));
  if ((given.groups?.groups.length ?? 0) > 1) line.append(labelled('Group', groups));
  line.append(count);
  const say = (n: number): void => {
    count.textContent = n === given.nCalves ? `${n} calves` : `${n} of ${given.nCalves} calves`;
  };
  say(given.nCalves);
  return {
    line,
    say,
    offerDiffering: () => {
      const label = labelled('', only);
      label.className = 'tick';
      label.append('only calves with a figure that does not match');
      count.before(label);
    },
  };
}
