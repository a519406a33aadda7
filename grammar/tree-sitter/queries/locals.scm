; Names where they are drawn and where they are read. A step or an `if` hides nothing; a panel, an operation and an `each` do.

(source_file) @local.scope
(panel body: (block) @local.scope)
(operation) @local.scope
(each) @local.scope

(measure name: (name) @local.definition)
(import name: (name) @local.definition)
(drawing name: (name) @local.definition)
(guide name: (name) @local.definition)
(panel name: (name) @local.definition)
(piece name: (name) @local.definition)
(seam name: (name) @local.definition)
(cloth name: (name) @local.definition)
(try name: (name) @local.definition)
(each name: (name) @local.definition)
(carried name: (name) @local.definition)
(parameter name: (name) @local.definition)

(name) @local.reference
