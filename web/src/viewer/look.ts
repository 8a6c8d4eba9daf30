// What enters: a person's choice. What leaves: the theme of the page.
// Always true: without a choice the device decides.
// Never: stores anything.

const LOOKS: ReadonlyArray<readonly [string, string]> = [
  ['', 'as this device'],
  ['light', 'light'],
  ['dark', 'dark'],
  ['sun', 'bright sun'],
];

/** The chooser. */
export function makeLook(): HTMLElement {
  const label = document.createElement('label');
  label.className = 'look';
  const select = document.createElement('select');
  for (const [value, text] of LOOKS) select.append(new Option(text, value));
  select.addEventListener('input', () => {
    if (select.value === '') delete document.documentElement.dataset['theme'];
    else document.documentElement.dataset['theme'] = select.value;
  });
  label.append('Look', select);
  return label;
}
