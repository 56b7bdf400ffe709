import PDFDocument from "pdfkit";
import type { FigurePoint, MarkerPrimitive, Primitive, TextPrimitive } from "./figure";
import { layOut, PAGE, type Page } from "./layout/pages";
import type { Measure, StructStep } from "./layout/piece";
import { openedPicture } from "./pdf-picture";
import type { Sheet } from "./sheet";
import { type ColourRole, type FontRole, PRINT } from "./style";

/** Whole TrueType files: Inter and Source Serif 4, regular and semibold. */
export type PdfFonts = Readonly<Record<FontRole, Uint8Array>>;

/** The part of pdfkit's embedded fonts that its types leave out: the glyphs of a text and where they stand. */
interface EmbeddedFont {
  layoutRun(text: string, features?: readonly PDFKit.Mixins.OpenTypeFeatures[]): unknown;
}

/**
 * Figures of one width, so that numbers end in the same place. Inter sets its hyphen as wide as a figure then, which
 * tears words apart; numbers carry no hyphen (their minus is U+2212).
 */
const features = (word: string): PDFKit.Mixins.OpenTypeFeatures[] => (word.includes("-") ? ["kern"] : ["tnum", "kern"]);

/**
 * Makes a font known to the document. pdfkit keeps the words that it has set for the next time, but only where it is
 * asked for no features; so the font is told them once, here, instead of with each text.
 */
function addFont(document: Document, role: FontRole, bytes: Uint8Array): void {
  document.registerFont(role, bytes as unknown as ArrayBuffer).font(role);
  const font = (document as unknown as { readonly _font: EmbeddedFont })._font;
  const layoutRun = font.layoutRun.bind(font);
  font.layoutRun = (word) => layoutRun(word, features(word));
}

/**
 * The sheet as a tagged PDF on A4: fonts embedded, figures as vectors, pictures as they are. The same sheet and fonts
 * give the same bytes everywhere (pdfkit's browser build, whose compression is JavaScript of its own).
 * @param software name and version for the file's properties; neither title nor properties name the patient
 */
export async function sheetPdf(sheet: Sheet, fonts: PdfFonts, software: string): Promise<Uint8Array> {
  const document = new PDFDocument({
    autoFirstPage: false,
    size: [PAGE.width, PAGE.height],
    margin: 0,
    // No default font: Helvetica would be named in the file without being embedded.
    font: "",
    pdfVersion: "1.7",
    tagged: true,
    lang: sheet.language,
    displayTitle: true,
    info: {
      Title: sheet.title,
      Creator: software,
      // biome-ignore lint/style/noRestrictedGlobals: pdfkit takes a Date; this one is made from text, not from a clock.
      CreationDate: new Date(sheet.issuedAt),
    },
  });
  const chunks: Uint8Array[] = [];
  const finished = new Promise<void>((resolve) => {
    document.on("data", (chunk: Uint8Array) => chunks.push(chunk));
    document.on("end", () => resolve());
  });
  for (const role of ["sans", "sansStrong", "serif", "serifStrong"] as const) {
    addFont(document, role, fonts[role]);
  }
  new PdfWriter(document, sheet).write(layOut(sheet, measureWith(document)));
  document.end();
  await finished;
  return joined(chunks);
}

type Document = InstanceType<typeof PDFDocument>;
type Element = ReturnType<Document["struct"]>;

/** Text widths from the fonts themselves, each text measured once. */
function measureWith(document: Document): Measure {
  const known = new Map<string, number>();
  return (text, font, size) => {
    const key = `${font}\u0000${text}`;
    let perPoint = known.get(key);
    if (perPoint === undefined) {
      perPoint = document.font(font).fontSize(1000).widthOfString(text) / 1000;
      known.set(key, perPoint);
    }
    return perPoint * size;
  };
}

class PdfWriter {
  private readonly root: Element;
  private readonly elements = new Map<string, Element>();
  private pictures = 0;

  constructor(
    private readonly document: Document,
    private readonly sheet: Sheet,
  ) {
    this.root = document.struct("Document");
    document.addStructure(this.root);
  }

  write(pages: readonly Page[]): void {
    for (const page of pages) {
      this.document.addPage();
      for (const { path, origin, primitives } of page) {
        if (path.length === 0) {
          this.document.markContent("Artifact", { type: "Layout" });
          for (const p of primitives) this.draw(p, origin);
          this.document.endMarkedContent();
        } else {
          const leaf = this.element(path);
          const content = this.document.markStructureContent(path.at(-1)!.tag);
          for (const p of primitives) this.draw(p, origin);
          this.document.endMarkedContent();
          leaf.add(content);
        }
      }
    }
    // Children end before their parents.
    for (const element of [...this.elements.values()].reverse()) element.end();
    this.root.end();
  }

  /** The structure element at the end of a path, made with its parents where it is new. */
  private element(path: readonly StructStep[]): Element {
    let parent = this.root;
    for (const { tag, key, alt } of path) {
      let element = this.elements.get(key);
      if (element === undefined) {
        element = this.document.struct(tag, alt === undefined ? {} : { alt });
        parent.add(element);
        this.elements.set(key, element);
      }
      parent = element;
    }
    return parent;
  }

  private draw(p: Primitive, [ox, oy]: FigurePoint): void {
    const { document } = this;
    const colour = (role: ColourRole | `#${string}`): string =>
      role.startsWith("#") ? role : PRINT[role as ColourRole];
    switch (p.kind) {
      case "line":
        document.lineWidth(p.width).lineCap("round");
        if (p.dash === undefined) document.undash();
        else document.dash(p.dash[0], { space: p.dash[1] });
        document.moveTo(ox + p.from[0], oy + p.from[1]).lineTo(ox + p.to[0], oy + p.to[1]);
        document.stroke(colour(p.stroke));
        break;
      case "path":
        document.save().translate(ox, oy).lineJoin("round");
        if (p.dash === undefined) document.undash();
        else document.dash(p.dash[0], { space: p.dash[1] });
        document.path(p.path).lineWidth(p.width ?? 0);
        if (p.fill !== undefined) document.fillOpacity(p.fillOpacity ?? 1);
        if (p.fill !== undefined && p.stroke !== undefined) document.fillAndStroke(colour(p.fill), colour(p.stroke));
        else if (p.fill !== undefined) document.fill(colour(p.fill));
        else if (p.stroke !== undefined) document.stroke(colour(p.stroke));
        document.restore();
        break;
      case "text":
        this.text(p, ox, oy);
        break;
      case "marker":
        this.marker(p, ox + p.at[0], oy + p.at[1]);
        break;
      case "image": {
        const png = this.sheet.pictures.get(p.picture);
        if (png === undefined) break;
        const opened = openedPicture(document, png, `I${++this.pictures}`);
        document.image(opened as never, ox + p.at[0], oy + p.at[1], { width: p.width, height: p.height });
        break;
      }
    }
  }

  private text(p: TextPrimitive, ox: number, oy: number): void {
    const { document } = this;
    document.font(p.font).fontSize(p.size).fillColor(PRINT[p.colour]);
    const width = p.anchor === "start" ? 0 : document.widthOfString(p.text);
    const shift = p.anchor === "middle" ? width / 2 : width;
    document.text(p.text, ox + p.at[0] - shift, oy + p.at[1], {
      lineBreak: false,
      baseline: "alphabetic",
    });
  }

  private marker(p: MarkerPrimitive, x: number, y: number): void {
    const { document } = this;
    const half = p.size / 2;
    document.lineWidth(p.width).undash();
    if (p.shape === "circle") {
      document.circle(x, y, half);
    } else if (p.shape === "square") {
      document.rect(x - half, y - half, p.size, p.size);
    } else {
      // A diamond of the same area as the circle looks as large.
      const reach = half * 1.25;
      document
        .moveTo(x, y - reach)
        .lineTo(x + reach, y)
        .lineTo(x, y + reach)
        .lineTo(x - reach, y)
        .closePath();
    }
    document.fillAndStroke(PRINT[p.fill], PRINT[p.stroke]);
  }
}

function joined(chunks: readonly Uint8Array[]): Uint8Array {
  const whole = new Uint8Array(chunks.reduce((sum, c) => sum + c.length, 0));
  let at = 0;
  for (const chunk of chunks) {
    whole.set(chunk, at);
    at += chunk.length;
  }
  return whole;
}
