"""Audits cutting-room files with ezdxf, a reader of another house: no error, no fix, and boundaries that enclose what the
pattern's JSON says.

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


def main(drawing, pattern):
    document = ezdxf.readfile(drawing)
    audit = document.audit()
    assert not audit.errors and not audit.fixes, (audit.errors, audit.fixes)
    pieces = json.load(open(pattern, encoding="utf-8"))["pieces"]
    blocks = {block.name: block for block in document.blocks if not block.name.startswith("*")}
    assert len(blocks) == len(pieces), sorted(blocks)
    for piece in pieces:
        block = blocks[piece["name"].upper() + "-BASE"]
        boundary = block.query('POLYLINE[layer=="1"]')
        assert len(boundary) == 1 and boundary[0].is_closed, piece["name"]
        found = area([vertex.dxf.location for vertex in boundary[0].vertices])
        wanted = piece["cut_area_mm2"]
        most = CHORD * piece["cutting"]["length_mm"]
        assert abs(found - wanted) < most, (piece["name"], found, wanted)
        texts = [text.dxf.text for text in block.query("TEXT")]
        assert f"Piece Name: {piece['label']}" in texts, texts
        print(f"{piece['name']}: {found:.2f} mm2, wanted {wanted:.2f}")


if __name__ == "__main__":
    main(*sys.argv[1:])
