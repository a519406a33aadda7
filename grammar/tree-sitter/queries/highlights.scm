; Colours by kind of word. Of two captures of one node the later one holds.

(comment) @comment

(text) @string
(brace) @string.escape
(hole "{" @punctuation.special "}" @punctuation.special)

(figure) @number

(name) @variable
(dotted) @variable
(phrase head: (name) @function)
(of head: (name) @function)
(operation head: (name) @function)
(measure name: (name) @variable.parameter)
(parameter name: (name) @variable.parameter)
(setting name: (name) @property)
(treatment) @attribute

(kind) @type
(list_kind "list" @type)

(answer) @boolean
(origin) @constant.builtin
(level) @constant.builtin
(turn) @constant.builtin
(is ["left" "right"] @constant.builtin)
(mark ["left" "right"] @constant.builtin)

; The words that begin a sentence.
(edition "edition" @keyword)
(draft "draft" @keyword)
(unit "unit" @keyword)
(import "import" @keyword)
(use "use" @keyword)
(measure ["body" "choose"] @keyword)
(claim ["require" "check"] @keyword)
(guide "guide" @keyword)
(redraw "redraw" @keyword)
(carry "carry" @keyword)
(cloth_at "cloth" @keyword)
(give "give" @keyword)
(panel "panel" @type)
(step "step" @keyword)
(try ["try" "otherwise"] @keyword)
(if ["if" "otherwise"] @keyword)
(each "each" @keyword)
(edge "each" @keyword)
(need "if" @keyword)
(remark ["note" "why" "caution"] @keyword)
(slip "slip" @keyword)
(terms "terms" @keyword)
(operation "operation" @keyword)
(piece "piece" @keyword)
(take ["pieces" "seams"] @keyword)
(seam "seam" @keyword)
(order "order" @keyword)
(cloth "cloth" @keyword)
(outline "outline" @keyword)
(cut "cut" @keyword)
(grain "grain" @keyword)
(allow "allow" @keyword)
(corner "corner" @keyword)
(finish "finish" @keyword)
(fold "fold" @keyword)
(interline "interline" @keyword)
(notch "notch" @keyword)
(dart "dart" @keyword)
(mark "mark" @keyword)
(ease ["ease" "gather" "stretch"] @keyword)
(open "open" @keyword)
(sewn "sewn" @keyword)
(tolerance "tolerance" @keyword)

; Linking words, and those that are names elsewhere.
[
  "from" "to" "through" "around" "toward" "at" "on" "onto" "by" "for" "about" "over" "along" "until" "near" "with"
  "leaving" "arriving" "hollow" "into" "meets" "of" "between" "and" "or" "not" "that" "is" "within" "than" "above" "below"
  "joins" "as" "gives" "of the way" "of the way from" "of the way along" "to level of"
] @keyword.operator
[
  "in" "all" "round" "carrying" "traced" "without" "needs" "drawn" "longer" "shorter" "more" "less" "square" "next"
  "mirrored" "alike" "whole" "across" "pressed" "drill"
] @keyword.operator
(cut "fold" @keyword.operator)
(dart "sewn" @keyword.operator)

["+" "-" "*" "/" "<" "<=" "=" ">=" ">"] @operator

["(" ")" "[" "]"] @punctuation.bracket
(block ["{" "}"] @punctuation.bracket)
(piece_block ["{" "}"] @punctuation.bracket)
(seam_block ["{" "}"] @punctuation.bracket)
"," @punctuation.delimiter
