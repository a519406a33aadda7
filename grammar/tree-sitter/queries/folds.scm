; Every block, from the line of its sentence.
[
  (panel)
  (step)
  (try)
  (if)
  (each)
  (operation)
  (piece)
  (seam)
] @fold
