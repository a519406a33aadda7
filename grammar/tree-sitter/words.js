// The words of the language, as the scanner tells them apart. `words.js` alone, run by node, writes src/words.h.

/** Linking words: reserved, and a line that ends or begins with one goes on. */
const links = [
  'from', 'to', 'through', 'around', 'toward', 'at', 'on', 'onto', 'by', 'for', 'about', 'over', 'along', 'until', 'near',
  'with', 'leaving', 'arriving', 'hollow', 'into', 'meets', 'of', 'between', 'and', 'or', 'not', 'that', 'is', 'within',
  'than', 'above', 'below', 'joins', 'as', 'gives',
];

/** Several words on one line that are read as one. */
const ways = ['of the way', 'of the way from', 'of the way along', 'to level of'];

const levels = ['up', 'down', 'left', 'right', 'inside', 'outside'];
const turns = ['clockwise', 'anticlockwise'];

/** Reserved, and neither a link nor a direction. */
const others = ['if', 'otherwise', 'each', 'yes', 'no', 'origin'];

const kinds = ['point', 'line', 'curve', 'length', 'angle', 'area', 'number', 'direction', 'text', 'list', 'answer', 'panel'];

/** Words that begin a sentence, kinds aside: names elsewhere. */
const sentences = [
  'edition', 'draft', 'unit', 'import', 'use', 'body', 'choose', 'require', 'check', 'redraw', 'guide', 'cloth', 'step',
  'note', 'why', 'caution', 'slip', 'terms', 'try', 'carry', 'operation', 'give', 'piece', 'pieces', 'seam', 'seams',
  'order', 'outline', 'cut', 'grain', 'allow', 'corner', 'finish', 'fold', 'interline', 'notch', 'dart', 'mark', 'ease',
  'gather', 'stretch', 'open', 'sewn', 'tolerance', 'start', 'end',
];

/** Words known by their place within a sentence: names elsewhere. */
const placed = [
  'in', 'all', 'round', 'carrying', 'traced', 'without', 'needs', 'drawn', 'longer', 'shorter', 'more', 'less', 'square',
  'next', 'mirrored', 'alike', 'whole', 'across', 'pressed', 'drill',
];

const signs = ['(', ')', '[', ']', '{', '}', ',', '+', '-', '*', '/', '<', '<=', '=', '>=', '>'];

/** What is no fixed word or sign, in the order of the scanner's enum. */
const classes = [
  // The end of a sentence; a line that goes on; what no sentence may hold, so that it is an error wherever it stands.
  // A value ends before what comes, so that values need not know what may follow them.
  '_end', '_value_ends', '_line_goes_on', '_never',
  'comment', 'name', 'dotted', 'figure',
  // `length`, `start`, `end`, `area` and `count` before `of`: a comma after their operand never goes on with it.
  '_tight_name',
  // `of` before texts to choose from.
  '_of_choices',
  '_text_begins', 'letters', 'brace', '_hole_begins', '_hole_ends', '_text_ends',
];

module.exports = { links, ways, levels, turns, others, kinds, sentences, placed, signs, classes };

/** Every fixed word and sign once, in the order of the external tokens. */
module.exports.fixed = [...new Set([...signs, ...links, ...ways, ...levels, ...turns, ...others, ...kinds, ...sentences, ...placed])];

if (require.main === module) {
  const row = (words, type) => words.map(word => `    {"${word}", ${type}},`);
  const reserved = [...row(links, 'LINK'), ...row([...levels, ...turns], 'DIRECTION'), ...row(others, 'OTHER')];
  const taken = new Set([...links, ...levels, ...turns, ...others]);
  const free = [...new Set([...kinds, ...sentences])].filter(word => !taken.has(word));
  const rest = placed.filter(word => !free.includes(word));
  const named = word => word.replace(/^_/, '').toUpperCase();
  const lines = [
    '// Written by words.js; do not edit.',
    '',
    'enum Token {',
    ...classes.map(name => `    ${named(name)},`),
    '    FIRST_SIGN,',
    `    FIRST_WORD = FIRST_SIGN + ${signs.length},`,
    `    FIRST_WAY = FIRST_WORD + ${links.length},`,
    `    TOKENS = FIRST_SIGN + ${module.exports.fixed.length},`,
    '};',
    '',
    'enum Sort { LINK, WAY, DIRECTION, OTHER, SENTENCE, PLACED };',
    '',
    'typedef struct {',
    '    const char *letters;',
    '    enum Sort sort;',
    '} Word;',
    '',
    '// Every word, in the order of the tokens from FIRST_WORD on.',
    'static const Word WORDS[] = {',
    ...row(links, 'LINK'), ...row(ways, 'WAY'), ...reserved.slice(links.length), ...row(free, 'SENTENCE'), ...row(rest, 'PLACED'),
    '};',
    '',
  ];
  require('fs').writeFileSync(`${__dirname}/src/words.h`, lines.join('\n'));
}
