import assert from 'node:assert/strict';
import { test } from 'node:test';
import { format, parse, route } from './route.ts';

test('an address read back is the same route', () => {
  for (const one of [
    route('start'), route('fair'), route('groups'), route('problems'), route('hand-over'), route('settings'), route('compare'), route('trial'),
    route('compare', 'place'), route('groups', '2026 spring, steer, Pen 1 / north'), route('sheet', 'calves'),
    route('sheet', 'calves', 17, 'wean_weight'), route('fair', '', 3, 'ratio'), route('sheet', 'cows', 0, 'tag'),
  ]) {
    assert.deepEqual(parse(format(one)), one, format(one));
  }
});

test('an address of a person is read as far as it goes', () => {
  assert.deepEqual(parse(''), route('start'));
  assert.deepEqual(parse('#'), route('start'));
  assert.deepEqual(parse('#calves/x/wean_weight'), route('sheet', 'calves', null, 'wean_weight'));
  assert.deepEqual(parse('#groups/%E0%A4%A'), route('groups', '%E0%A4%A'), 'a broken escape is text');
});
