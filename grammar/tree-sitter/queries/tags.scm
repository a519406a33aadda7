; The outline of a draft: its title, panels and their steps, operations, pieces and seams; and the heads that call operations.

(draft title: (text (letters) @name)) @definition.module
(panel name: (name) @name) @definition.class
(step title: (text (letters) @name)) @definition.section
(operation head: (name) @name) @definition.function
(piece name: (name) @name) @definition.piece
(seam name: (name) @name) @definition.seam

(phrase head: (name) @name) @reference.call
