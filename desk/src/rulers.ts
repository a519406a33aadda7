// The two rulers along the paper's edges, in the draft's unit, and where the hand points on them.

interface Laid { x: number; y: number; scale: number }
type Spot = { x: number; y: number } | null;

/** Strokes that a ruler can have, in millimetres, finest first, and how many make a stroke with a figure. */
const STROKES = {
  cm: [[1, 10], [5, 10], [10, 10], [50, 2], [100, 5], [500, 2], [1000, 5]],
  in: [[25.4 / 16, 16], [25.4 / 8, 8], [25.4 / 4, 4], [25.4 / 2, 4], [25.4, 6], [25.4 * 6, 6], [25.4 * 12, 5]],
} as const;
/** Strokes stand no closer, figures no closer, in pixels. */
const CLOSE = 5;
const FIGURES = 34;

export class Rulers {
  unit = "cm";
  #laid: Laid = { x: 0, y: 0, scale: 1 };
  #spot: Spot = null;
  #waits = false;

  constructor(readonly top: HTMLCanvasElement, readonly side: HTMLCanvasElement) {}

  lay(laid: Laid): void {
    this.#laid = laid;
    this.#soon();
  }

  point(spot: Spot): void {
    this.#spot = spot;
    this.#soon();
  }

  #soon(): void {
    if (this.#waits) return;
    this.#waits = true;
    requestAnimationFrame(() => {
      this.#waits = false;
      this.#draw(this.top, this.#laid.x, this.#spot?.x, false);
      this.#draw(this.side, this.#laid.y, this.#spot?.y, true);
    });
  }

  #draw(canvas: HTMLCanvasElement, start: number, spot: number | undefined, isSide: boolean): void {
    const { width, height } = canvas.getBoundingClientRect();
    const pen = canvas.getContext("2d");
    if (!pen || width === 0) return;
    const dense = devicePixelRatio;
    canvas.width = Math.round(width * dense);
    canvas.height = Math.round(height * dense);
    pen.scale(dense, dense);
    const [long, broad] = isSide ? [height, width] : [width, height];
    // The side ruler is the top one, turned: along it is down.
    if (isSide) pen.transform(0, 1, 1, 0, 0, 0);
    const look = getComputedStyle(canvas);
    const inches = this.unit === "in";
    const strokes = STROKES[inches ? "in" : "cm"];
    const { scale } = this.#laid;
    const [stroke, told] = strokes.find(([apart, each]) => apart * scale >= CLOSE && apart * each * scale >= FIGURES)
      ?? strokes[strokes.length - 1] ?? [1, 10];
    pen.strokeStyle = pen.fillStyle = look.color;
    pen.lineWidth = 1;
    pen.font = `11px ${look.fontFamily}`;
    pen.beginPath();
    for (let count = Math.ceil(start / stroke); (count * stroke - start) * scale <= long; count++) {
      const at = Math.round((count * stroke - start) * scale) + 0.5;
      const isTold = count % told === 0;
      pen.moveTo(at, broad);
      pen.lineTo(at, broad - (isTold ? broad * 0.55 : count % (told / 2) === 0 ? broad * 0.4 : broad * 0.25));
      if (isTold) this.#figure(pen, at, figure(count * stroke, inches), isSide);
    }
    pen.stroke();
    if (spot === undefined) return;
    pen.fillStyle = look.getPropertyValue("--accent");
    pen.beginPath();
    pen.moveTo(spot, broad);
    pen.lineTo(spot - 4, broad - 7);
    pen.lineTo(spot + 4, broad - 7);
    pen.fill();
  }

  #figure(pen: CanvasRenderingContext2D, at: number, words: string, isSide: boolean): void {
    pen.save();
    if (isSide) {
      // Written along the ruler, read from below; turned back first.
      pen.transform(0, 1, 1, 0, 0, 0);
      pen.translate(10, at + 3);
      pen.rotate(-Math.PI / 2);
      pen.textAlign = "right";
      pen.fillText(words, 0, 0);
    } else {
      pen.fillText(words, at + 3, 10);
    }
    pen.restore();
  }
}

function figure(mm: number, inches: boolean): string {
  const figure = mm / (inches ? 25.4 : 10);
  return String(Math.round(figure * 100) / 100);
}
