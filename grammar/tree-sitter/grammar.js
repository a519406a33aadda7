/**
 * @file Drafts of Oaktag: the sentences of ../oaktag.ebnf, over tokens that src/scanner.c finds.
 *
 * A sentence ends by what stands before and after its line end, and a word is a name wherever it is not wanted: so the
 * scanner, which sees the line, finds every token, and the rules below need no conflict and no reserved word of their own.
 */

/// <reference types="tree-sitter-cli/dsl" />

const words = require('./words.js');

const listed = rule => seq(rule, repeat(seq(',', rule)));

/** Sums, displacements and turns whose first operand is `first`; what follows it is an operand of any sort. */
const expressions = (name, first) => ({
  [`_${name}`]: $ => seq(choice($[`_${name}_moved`], alias($[`_${name}_turned`], $.turned)), $._value_ends),
  [`_${name}_turned`]: $ => seq($[`_${name}_moved`], $.turn),
  [`_${name}_moved`]: $ => choice($[`_${name}_sum`], alias($[`_${name}_displaced`], $.displaced)),
  [`_${name}_displaced`]: $ => seq($[`_${name}_sum`], repeat1($.displacement)),
  ...sums(name, first),
});

const sums = (name, first) => ({
  [`_${name}_sum`]: $ => choice(alias($[`_${name}_added`], $.sum), $[`_${name}_product`]),
  [`_${name}_added`]: $ => seq($[`_${name}_sum`], choice('+', '-'), $._expression_product),
  [`_${name}_product`]: $ => choice(alias($[`_${name}_multiplied`], $.product), first($)),
  [`_${name}_multiplied`]: $ => seq($[`_${name}_product`], choice('*', '/'), $._signed),
});

module.exports = grammar({
  name: 'oaktag',

  externals: $ => [...words.classes.map(name => $[name]), ...words.fixed],

  extras: $ => [/[ \t\r\n]/, $.comment, $._line_goes_on],

  supertypes: $ => [$.sentence],

  rules: {
    source_file: $ => seq(optional(seq($.edition, $._end)), repeat(seq($.sentence, $._end))),

    edition: $ => seq('edition', $.figure),

    block: $ => seq('{', repeat(seq($.sentence, $._end)), '}'),

    sentence: $ => choice(
      $.draft, $.unit, $.import, $.use, $.measure, $.operation,
      $.drawing, $.guide, $.redraw, $.carry, $.cloth_at, $.give,
      $.panel, $.step, $.try, $.if, $.each,
      $.remark, $.slip, $.terms, $.claim,
      $.piece, $.take, $.seam, $.order, $.cloth,
    ),

    // The head of a file.
    draft: $ => seq('draft', field('title', $.text)),
    unit: $ => seq('unit', field('unit', $.name)),
    import: $ => seq('import', field('path', $.text), 'as', field('name', $.name), optional($.options)),
    use: $ => seq('use', field('module', $.name)),
    measure: $ => seq(
      choice('body', 'choose'), field('name', $.name), '=', field('value', $._expression),
      optional($.range), optional($.choices), optional(field('doc', $.text)),
    ),
    range: $ => seq('between', $._expression, 'and', $._expression),
    choices: $ => seq(alias($._of_choices, 'of'), listed($.text)),
    claim: $ => seq(choice('require', 'check'), field('title', $.text), 'that', field('condition', $._condition)),

    // Drawing.
    kind: _ => choice(...words.kinds.filter(kind => kind !== 'panel')),
    drawing: $ => choice(
      seq(field('kind', $.kind), $._drawn, '=', field('value', $._value)),
      seq(field('kind', alias('panel', $.kind)), listed(field('name', $.name)), '=', field('value', $._value)),
    ),
    _drawn: $ => choice(listed(field('name', $.name)), listed(field('name', $.dotted))),
    guide: $ => seq('guide', field('kind', $.kind), $._drawn, '=', field('value', $._value)),
    redraw: $ => seq('redraw', $._drawn, '=', field('value', $._value)),
    carry: $ => seq('carry', field('name', $.name), '=', field('value', $._value)),
    cloth_at: $ => seq('cloth', 'at', $._expression),
    give: $ => seq('give', listed($._value)),

    // Blocks.
    panel: $ => seq('panel', field('name', $.name), optional($.traced), field('body', $.block)),
    traced: $ => seq('traced', 'from', $._path),
    step: $ => seq('step', field('title', $.text), field('body', $.block)),
    try: $ => seq(
      'try', field('name', $.name), $.range, field('body', $.block),
      'until', field('condition', $._condition), optional(seq('otherwise', $.text)),
    ),
    if: $ => seq(
      'if', field('condition', $._condition), $.block,
      repeat(seq('otherwise', 'if', field('condition', $._condition), $.block)),
      optional(seq('otherwise', $.block)),
    ),
    each: $ => seq(
      'each', field('name', $.name),
      choice(seq('from', $._expression, 'to', $._expression), seq('in', $._expression)),
      optional(seq('all', 'round')), optional(seq('carrying', listed($.carried))), field('body', $.block),
    ),
    carried: $ => seq(field('name', $.name), 'from', $._expression),
    remark: $ => seq(choice('note', 'why', 'caution'), $.text),
    slip: $ => seq('slip', $._expression, 'is', $._expression, $.text),
    terms: $ => seq('terms', $._paths),

    // Operations.
    operation: $ => seq(
      'operation', field('head', $.name), optional($.parameter), repeat($.place),
      optional(seq('with', listed($.parameter))), optional(seq('needs', listed($.need))),
      'gives', field('gives', $._kind_phrase), optional(field('doc', $.text)), field('body', $.block),
    ),
    place: $ => seq(
      choice($._link, 'toward', 'leaving', 'arriving', 'until', 'to level of', 'between', 'and', 'of'), $.parameter,
    ),
    parameter: $ => seq(
      '(', field('kind', $._kind_phrase), field('name', $.name), optional(seq('=', field('value', $._expression))),
      optional($.range), optional($.choices), optional(field('doc', $.text)), ')',
    ),
    need: $ => seq(
      '(', field('kind', $._kind_phrase), $._path, repeat(seq(',', $.name)), optional(seq('if', 'drawn')),
      optional(field('doc', $.text)), ')',
    ),
    _kind_phrase: $ => choice($._kind, $.list_kind),
    _kind: $ => choice($.kind, alias('panel', $.kind)),
    list_kind: $ => seq('list', 'of', $._kind),

    // Values.
    _value: $ => seq(choice($.phrase, $._any_condition), $._value_ends),
    phrase: $ => prec.right(choice(
      $._phrase_rest,
      seq(field('head', $.name), $._direct, optional($._phrase_rest)),
      prec(1, seq(field('head', $.name), 'of', $._operand, repeat1(seq(',', $._expression)), optional($._phrase_rest))),
      seq($._expression, $._phrase_rest),
    )),
    _direct: $ => prec.right(choice($._started, seq($._direct, ',', $._expression))),
    _phrase_rest: $ => choice(seq(choice($._clauses, $._clauses_open), optional($.options)), $.options),
    // An open row has a `between` whose `and` has not come.
    _clauses: $ => choice(
      $.clause,
      seq($._clauses, choice($.clause, alias($._within, $.clause))),
      seq($._clauses_open, alias($._and, $.clause)),
    ),
    _clauses_open: $ => choice(
      alias($._between, $.clause),
      seq($._clauses, alias($._between, $.clause)),
      seq($._clauses_open, choice($.clause, alias($._within, $.clause), alias($._between, $.clause))),
    ),
    clause: $ => prec.right(choice(
      seq($._link, $._arguments),
      seq('toward', $._bearing),
      seq(choice('leaving', 'arriving'), $._bearing, optional(seq('for', $._expression, optional('of the way')))),
      seq('until', $._whole_operand),
      seq('to level of', $._whole_operand),
    )),
    _within: $ => prec.right(seq('within', $._arguments)),
    _between: $ => prec.right(seq('between', $._arguments)),
    _and: $ => prec.right(seq('and', $._arguments)),
    _link: _ => choice(
      'from', 'to', 'through', 'around', 'at', 'on', 'onto', 'by', 'for', 'about', 'over', 'along', 'near', 'hollow',
      'into', 'meets', 'of the way from', 'of the way along',
    ),
    _arguments: $ => prec.right(choice($._expression, seq($._arguments, ',', $._expression))),
    options: $ => prec.right(seq('with', $._settings)),
    _settings: $ => prec.right(choice($.setting, seq($._settings, ',', $.setting))),
    setting: $ => prec.right(seq(field('name', $.name), $._expression, optional(seq('to', $._expression)))),
    _bearing: $ => choice(
      alias($._bearing_along, $.bearing),
      alias($._bearing_square, $.bearing),
      $.direction,
      $._bearing_leaning,
      alias($._bearing_from_level, $.bearing),
    ),
    _bearing_along: $ => seq('along', $._whole_operand),
    _bearing_square: $ => prec.right(seq('square', 'to', $._whole_operand, optional(seq('toward', $._bearing)))),
    _bearing_leaning: $ => choice($._started, alias($._bearing_signed, $.negative)),
    _bearing_signed: $ => seq('-', $._expression),
    _bearing_from_level: $ => seq($._bearing_leaning, choice('below', 'above'), $.level),

    // Expressions.
    ...expressions('expression', $ => $._signed),
    // One that begins neither with a sign nor with a direction.
    ...expressions('started', $ => $._atom),
    // How far to go: begins with no direction.
    ...sums('distance', $ => choice($._atom, $.negative)),
    // Before the `of` that belongs to `within`.
    _tolerance: $ => choice($._plain, alias($._tolerance_sum, $.sum)),
    _tolerance_sum: $ => seq($._tolerance, choice('+', '-', '*', '/'), $._plain),
    _plain: $ => choice($._path, $.figure, $.bracket),

    displacement: $ => seq($.level, choice(
      seq(optional('by'), $._distance_sum),
      seq('until', $._operand),
      seq('to level of', $._operand),
    )),
    _signed: $ => choice($.negative, $._operand),
    negative: $ => seq('-', $._signed),
    _operand: $ => choice($._atom, $.direction),
    _whole_operand: $ => seq($._operand, $._value_ends),
    _atom: $ => choice(
      $.figure, $.text, $.answer, $.origin, $._path, $.of, $.bracket, $.list, $.each,
    ),
    of: $ => seq(field('head', choice($.name, alias($._tight_name, $.name))), 'of', $._operand),
    bracket: $ => seq('(', $._value, ')'),
    list: $ => seq('[', optional($._arguments), ']'),
    answer: _ => choice('yes', 'no'),
    origin: _ => 'origin',
    direction: $ => choice($.level, $.turn),
    level: _ => choice(...words.levels),
    turn: _ => choice(...words.turns),

    // Conditions.
    _condition: $ => seq($._any_condition, $._value_ends),
    _any_condition: $ => choice($.either, $._conjunction),
    either: $ => seq($._any_condition, 'or', $._conjunction),
    _conjunction: $ => choice($.both, $._denial),
    both: $ => seq($._conjunction, 'and', $._denial),
    _denial: $ => choice($.not, $._comparison),
    not: $ => seq('not', $._denial),
    _comparison: $ => choice($._expression, $.compare, $.is),
    compare: $ => seq($._expression, choice('<', '<=', '=', '>=', '>'), $._expression),
    is: $ => seq($._expression, 'is', choice(
      seq('within', $._tolerance, 'of', $._expression),
      seq('between', $._expression, 'and', $._expression, optional(seq($._longer, 'than', $._expression))),
      seq(optional($._expression), $._longer, 'than', $._expression),
      seq(choice('on', 'above', 'below', seq(choice('left', 'right'), 'of')), $._expression),
      'drawn',
    )),
    _longer: _ => choice('longer', 'shorter', 'more', 'less'),

    // Pieces, seams and cloths.
    piece: $ => seq(
      'piece', field('name', $.name), optional(field('title', $.text)), optional(seq('of', $._path)), optional($.traced),
      field('body', $.piece_block),
    ),
    take: $ => seq(choice('pieces', 'seams'), 'of', $._path, optional(seq('without', listed($.name)))),
    seam: $ => seq(
      'seam', field('name', $.name), 'joins', $.side, 'to', $.side, optional(seq('from', $._arguments)),
      optional(seq('toward', $._arguments)), optional(field('body', $.seam_block)),
    ),
    order: $ => seq('order', listed($.name)),
    cloth: $ => seq('cloth', field('name', $.name), optional(field('title', $.text)), optional($._settings)),

    piece_block: $ => seq('{', repeat(seq($._piece_sentence, $._end)), '}'),
    _piece_sentence: $ => choice(
      $.outline, $.cut, $.grain, $.allow, $.corner, $.finish, $.fold, $.interline, $.notch, $.dart, $.mark,
      alias($.piece_if, $.if),
    ),
    piece_if: $ => seq(
      'if', field('condition', $._condition), $.piece_block,
      repeat(seq('otherwise', 'if', field('condition', $._condition), $.piece_block)),
      optional(seq('otherwise', $.piece_block)),
    ),
    outline: $ => seq('outline', listed($.outline_edge)),
    outline_edge: $ => seq($._path, optional(seq('as', field('name', $.name)))),
    cut: $ => seq(
      'cut', $._expression, optional('alike'),
      optional(seq(choice(seq('on', 'fold'), 'whole'), 'at', $._path)), optional(seq('from', $.name)),
    ),
    grain: $ => seq('grain', choice('along', 'across'), $._whole_operand),
    allow: $ => seq('allow', $._expression, optional(choice(
      seq('on', $._paths),
      seq('to', $._expression, 'on', $._paths, 'from', $._expression),
    ))),
    corner: $ => seq('corner', $._paths, repeat1(alias($.name, $.treatment))),
    finish: $ => seq('finish', $._paths, optional($.text)),
    fold: $ => seq('fold', $._paths, optional(seq('onto', $._path))),
    interline: $ => seq('interline', $._expression, optional('alike'), optional(seq('from', $.name)), 'by', $._expression),
    notch: $ => seq(
      'notch', optional(alias($.name, $.treatment)), 'at',
      choice(seq($._expression, 'from', $._expression), $._arguments),
    ),
    dart: $ => seq(
      'dart', $._expression, 'to', $._expression, 'at', $._expression, optional(seq(',', $._expression)),
      optional(seq('along', $._path, ',', $._path)), optional(seq('pressed', 'toward', $._expression)),
      optional(seq('drill', $._expression)), optional(seq('sewn', $._expression)),
    ),
    mark: $ => seq(
      'mark', $._arguments, optional(seq($.text, optional(seq('on', choice('left', 'right'))))), optional($.options),
    ),

    side: $ => seq(listed($.edge), optional(seq('until', $._expression))),
    edge: $ => seq(repeat(choice('mirrored', 'over', 'each')), $._path),
    seam_block: $ => seq('{', repeat(seq($._seam_sentence, $._end)), '}'),
    _seam_sentence: $ => choice(
      $.ease, $.notch, $.meets, $.open, alias($.seam_corner, $.corner), alias($.seam_allow, $.allow), $.sewn, $.tolerance,
    ),
    ease: $ => seq(
      choice('ease', 'gather', 'stretch'), $._expression, optional(seq('to', $._expression)), 'on', $._paths,
      optional(seq('between', $._span)),
    ),
    _span: $ => seq($._seam_place, 'and', $._seam_place),
    _seam_place: $ => seq($._expression, optional(seq('from', $._expression))),
    meets: $ => seq(
      choice($._path, alias($._end_of, $.of), $.bracket), 'meets', $._expression,
    ),
    _end_of: $ => seq(field('head', alias(choice('start', 'end'), $.name)), 'of', $._whole_operand),
    open: $ => seq('open', 'between', $._span, optional($.text)),
    seam_corner: $ => seq('corner', 'at', $._expression, optional($.text)),
    seam_allow: $ => seq('allow', $._expression, optional(seq('on', $._paths))),
    sewn: $ => seq('sewn', alias($.name, $.treatment), optional($._arguments)),
    tolerance: $ => seq('tolerance', $._expression),

    // Names and texts.
    _path: $ => choice($.name, $.dotted, $.next),
    next: $ => seq('next', choice($.name, $.dotted)),
    _paths: $ => prec.right(choice($._path, seq($._paths, ',', $._path))),
    text: $ => seq(alias($._text_begins, '"'), repeat(choice($.letters, $.brace, $.hole)), alias($._text_ends, '"')),
    hole: $ => seq(alias($._hole_begins, '{'), $._value, alias($._hole_ends, '}')),
  },
});
