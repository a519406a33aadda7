"""Audits cutting-room files with ezdxf, a reader of another house: no error, no fix, boundaries that enclose what the
pattern's JSON says, holes where it says and on the side that it says, and nowhere else.

Usage: audit_dxf.py DRAWING.dxf PATTERN.json
"""

import json
import sys

import ezdxf

CHORD = 0.01  # How far a chord may stand off its curve, in millimetres.


def area(points):
    """Area of a closed row of points (the shoelace formula)."""
    turns = zip(points, points[1:] + points[:1])
    return abs(sum(a[0] * b[1] - b[0] * a[1] for a, b in turns)) / 2


def inside(point, ring):
    """Whether a ring goes round a point: how often a ray to the right crosses it (even-odd rule)."""
    pairs = zip(ring, ring[1:] + ring[:1])
    crossed = [a for a, b in pairs if (a[1] > point[1]) != (b[1] > point[1])
               and point[0] < a[0] + (b[0] - a[0]) * (point[1] - a[1]) / (b[1] - a[1])]
    return len(crossed) % 2 == 1


def by_side(pieces):
    """Each piece as the file has it: the block's name, the piece, and whose side it is; none where both are one block."""
    for piece in pieces:
        sided = any("side" in mark for mark in piece["marks"])
        paired = piece["cut"]["count"] > 1 and not piece["cut"]["alike"] and not piece["cut"]["fold"]
        if sided and paired:
            for side in ("left", "right"):
                yield f"{piece['name']}_{side}".upper() + "-BASE", piece, side
        else:
            yield piece["name"].upper() + "-BASE", piece, None


def main(drawing, pattern):
    document = ezdxf.readfile(drawing)
    audit = document.audit()
    assert not audit.errors and not audit.fixes, (audit.errors, audit.fixes)
    pieces = json.load(open(pattern, encoding="utf-8"))["pieces"]
    blocks = {block.name: block for block in document.blocks if not block.name.startswith("*")}
    wanted_blocks = list(by_side(pieces))
    assert sorted(blocks) == sorted(name for name, _, _ in wanted_blocks), sorted(blocks)
    for name, piece, side in wanted_blocks:
        block = blocks[name]
        boundary = block.query('POLYLINE[layer=="1"]')
        assert len(boundary) == 1 and boundary[0].is_closed, name
        ring = [vertex.dxf.location for vertex in boundary[0].vertices]
        found = area(ring)
        whole = side is None and any("side" in mark for mark in piece["marks"]) and piece["cut"]["fold"]
        wanted = piece["cut_area_mm2"] * (2 if whole else 1)
        most = CHORD * piece["cutting"]["length_mm"] * (2 if whole else 1)
        assert abs(found - wanted) < most, (name, found, wanted)
        texts = [text.dxf.text for text in block.query("TEXT")]
        for text in block.query("TEXT"):
            assert inside(text.dxf.insert, ring), (name, text.dxf.text, text.dxf.insert)
        for word in ("Category: ", "Annotation: ", "Quantity: "):
            assert any(text.startswith(word) for text in texts), (name, word, texts)
        label = piece["label"] + (f", wearer's {side}" if side else "")
        assert f"Piece Name: {label}" in texts, texts
        if not whole:
            own = [mark for mark in piece["marks"] if side is None or mark.get("side", side) == side]
            turned = side is not None and side != piece["cut"]["shown"]
            drills = sorted(
                (round(-mark["x"] if turned else mark["x"], 2), round(mark["y"], 2)) for mark in own if mark.get("drill")
            )
            holes = sorted((round(p.dxf.location.x, 2), round(p.dxf.location.y, 2)) for p in block.query('POINT[layer=="13"]'))
            assert holes == drills, (name, holes, drills)
        print(f"{name}: {found:.2f} mm2, wanted {wanted:.2f}")


if __name__ == "__main__":
    main(*sys.argv[1:])
