/**
 * Measures every text pair of theme.css in its three themes (WCAG 2.2, 1.4.3 relative luminance).
 */
import assert from 'node:assert/strict';
import { existsSync, readFileSync } from 'node:fs';
import { test } from 'node:test';

// Run from the web folder or from the top of the repository.
const path = ['src/theme.css', 'web/src/theme.css'].find((one) => existsSync(one)) ?? 'src/theme.css';
const css = readFileSync(path, 'utf8');

function tokens(start: string): Map<string, string> {
  const at = css.indexOf(start);
  assert.ok(at >= 0, `${start} not found in ${path}`);
  const block = css.slice(css.indexOf('{', at + start.length - 1) + 1, css.indexOf('}', at));
  return new Map([...block.matchAll(/--([\w-]+):\s*(#[0-9a-f]{6})/g)].map(([, name, value]) => [name ?? '', value ?? '']));
}

const light = tokens('\n:root {');
const themes = {
  light,
  dark: new Map([...light, ...tokens('\n:root[data-theme="dark"] {')]),
  'dark by system': new Map([...light, ...tokens(':root:not([data-theme="light"], [data-theme="sun"]) {')]),
  sun: new Map([...light, ...tokens('\n:root[data-theme="sun"] {')]),
};

function luminance(hex: string): number {
  const [r = 0, g = 0, b = 0] = [1, 3, 5].map((from) => {
    const part = parseInt(hex.slice(from, from + 2), 16) / 255;
    return part <= 0.04045 ? part / 12.92 : ((part + 0.055) / 1.055) ** 2.4;
  });
  return 0.2126 * r + 0.7152 * g + 0.0722 * b;
}

function contrast(a: string, b: string): number {
  const [x, y] = [luminance(a), luminance(b)];
  return (Math.max(x, y) + 0.05) / (Math.min(x, y) + 0.05);
}

const GROUNDS = ['ground', 'ground-raised', 'ground-sunk', 'shade-engine', 'shade-own', 'action-wash', 'attention-wash'];
const TEXTS = ['ink', 'ink-soft', 'action', 'attention', 'danger'];
const MARKS = ['line-strong', 'attention-mark', ...Array.from({ length: 8 }, (_, group) => `group-${group + 1}`)];

function check(theme: keyof typeof themes, over: string, under: string, least: number): void {
  const [a, b] = [themes[theme].get(over), themes[theme].get(under)];
  assert.ok(a && b, `${theme}: ${over} or ${under} has no value`);
  const found = contrast(a, b);
  assert.ok(found >= least, `${theme}: ${over} on ${under} is ${found.toFixed(2)}:1, needs ${least}:1`);
}

for (const theme of Object.keys(themes) as (keyof typeof themes)[]) {
  test(`text pairs, ${theme}`, () => {
    for (const ground of GROUNDS) for (const text of TEXTS) check(theme, text, ground, theme === 'sun' ? 7 : 4.5);
    check(theme, 'danger', 'danger-wash', theme === 'sun' ? 7 : 4.5);
    check(theme, 'action-ink', 'action', theme === 'sun' ? 7 : 4.5);
  });
}

for (const theme of ['dark', 'sun'] as const) {
  test(`marks stand off the ground, ${theme}`, () => { for (const mark of MARKS) check(theme, mark, 'ground', 3); });
}

test('marks stand off the light ground, but for Okabe and Ito colours kept as published', () => {
  const asPublished = new Set(['group-4', 'group-5', 'group-6', 'group-7', 'attention-mark']);
  for (const mark of MARKS) check('light', mark, 'ground', asPublished.has(mark) ? 1.9 : 3);
});

test('the two dark themes are the same', () => {
  assert.deepEqual([...themes.dark], [...themes['dark by system']]);
});
