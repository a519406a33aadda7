// How the pieces lie on the drawing's sheet: from millimetres of the sheet, counted down, to those of a panel, counted up. Told by
// what stands in both the drawing and the figures: the sewing lines of a piece and its named points.

export interface Spot { x: number; y: number }

export interface Figures {
  values: Record<string, { kind: string; x?: number; y?: number; path?: string }>;
  pieces: {
    name: string; panel: string;
    edges: { name: string; path: string; length_mm: number }[];
    notches: { marks: { x: number; y: number; cut_x: number; cut_y: number }[] }[];
    marks: unknown[];
  }[];
}

/** Who lies this far from where it should lie, in millimetres, is not what it was taken for. */
const TRUE = 0.1;

/** A turn and a shift; the piece may lie on its other side. */
export class Lie {
  constructor(readonly cos: number, readonly sin: number, readonly from: Spot, readonly to: Spot, readonly flips: boolean) {}

  /** How far something goes in the panel that goes so far on the sheet. */
  gone({ x, y }: Spot): Spot {
    const [right, up] = [this.cos * x - this.sin * y, -this.sin * x - this.cos * y];
    return { x: right, y: this.flips ? -up : up };
  }

  inPanel(spot: Spot): Spot {
    const gone = this.gone({ x: spot.x - this.to.x, y: spot.y - this.to.y });
    return { x: this.from.x + gone.x, y: this.from.y + gone.y };
  }

  onSheet(spot: Spot): Spot {
    const x = spot.x - this.from.x;
    const up = (spot.y - this.from.y) * (this.flips ? -1 : 1);
    return { x: this.to.x + this.cos * x - this.sin * up, y: this.to.y - this.sin * x - this.cos * up };
  }
}

/** The turn and shift nearest to all pairs (least squares); none where they are too few, or do not agree. */
export function lieOf(pairs: [panel: Spot, sheet: Spot][]): Lie | null {
  if (pairs.length < 2) return null;
  const mean = (which: 0 | 1): Spot => ({
    x: pairs.reduce((sum, pair) => sum + pair[which].x, 0) / pairs.length,
    y: pairs.reduce((sum, pair) => sum + pair[which].y, 0) / pairs.length,
  });
  const [from, to] = [mean(0), mean(1)];
  for (const flips of [false, true]) {
    let [cos, sin] = [0, 0];
    for (const [panel, sheet] of pairs) {
      const [x, up] = [panel.x - from.x, (panel.y - from.y) * (flips ? -1 : 1)];
      const [right, above] = [sheet.x - to.x, to.y - sheet.y];
      cos += right * x + above * up;
      sin += above * x - right * up;
    }
    const far = Math.hypot(cos, sin);
    if (far < 1) return null;
    const lie = new Lie(cos / far, sin / far, from, to, flips);
    const isTrue = pairs.every(([panel, sheet]) => {
      const { x, y } = lie.onSheet(panel);
      return Math.hypot(x - sheet.x, y - sheet.y) < TRUE;
    });
    if (isTrue) return lie;
  }
  return null;
}

export function pathOf(d: string): SVGPathElement {
  const path = document.createElementNS("http://www.w3.org/2000/svg", "path");
  path.setAttribute("d", d);
  return path;
}

export function middleOf(path: SVGGraphicsElement): Spot {
  const { x, y, width, height } = path.getBBox();
  return { x: x + width / 2, y: y + height / 2 };
}

/** How a piece lies in a picture. */
export function lieIn(picture: Element, figures: Figures, piece: string): Lie | null {
  const known = figures.pieces.find(({ name }) => name === piece);
  if (!known) return null;
  const pairs: [Spot, Spot][] = [];
  const drawn = [...picture.querySelectorAll<SVGPathElement>("path[data-name]")].filter((one) => one.dataset["piece"] === piece);
  // What bears the name of another stands for neither.
  const alone = (kinds: string) => {
    const found = drawn.filter((one) => one.matches(kinds));
    const names = found.map((one) => one.dataset["name"] ?? "");
    return found.map((one, at) => ({ one, name: names[at] ?? "" })).filter(({ name }) => names.indexOf(name) === names.lastIndexOf(name));
  };
  for (const { one: dot, name } of alone(".dot, .construction-dot")) {
    const value = figures.values[`${known.panel}.${name}`];
    if (value?.x !== undefined && value.y !== undefined) pairs.push([{ x: value.x, y: value.y }, middleOf(dot)]);
  }
  for (const { one: line, name } of alone(".sew")) {
    const [edge, twin] = known.edges.filter((one) => one.name === name);
    if (!edge || twin) continue;
    const path = pathOf(edge.path);
    const length = path.getTotalLength();
    // A line may be drawn from its other end: its middle is the same.
    if (Math.abs(length - line.getTotalLength()) < TRUE) {
      pairs.push([path.getPointAtLength(length / 2), line.getPointAtLength(line.getTotalLength() / 2)]);
    }
  }
  return lieOf(pairs);
}

/** The share of a path's length at the place nearest to a spot. */
export function shareOf(d: string, spot: Spot): number {
  const path = pathOf(d);
  const length = path.getTotalLength();
  const far = (share: number) => {
    const { x, y } = path.getPointAtLength(length * share);
    return Math.hypot(x - spot.x, y - spot.y);
  };
  let best = 0;
  for (let at = 0; at <= 100; at++) if (far(at / 100) < far(best)) best = at / 100;
  for (let step = 0.005; step > 1e-5; step /= 2) {
    for (const share of [best - step, best + step]) if (share >= 0 && share <= 1 && far(share) < far(best)) best = share;
  }
  return best;
}
