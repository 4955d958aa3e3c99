import { MusicError } from "../ground/errors.ts";

export const within = (name: string, value: number, low: number, high: number): number => {
  if (value >= low && value <= high) return value;
  throw new MusicError({
    code: "assess/picture",
    input: { [name]: value },
    expected: `${name} from ${low} to ${high}`,
  });
};

export const escaped = (text: string): string =>
  text.replace(/&/g, "&amp;").replace(/</g, "&lt;").replace(/>/g, "&gt;").replace(/"/g, "&quot;");

export const at = (value: number): string => String(Math.round(value * 10) / 10);

export const line = (x1: number, y1: number, x2: number, y2: number, style: string): string =>
  `<line x1="${at(x1)}" y1="${at(y1)}" x2="${at(x2)}" y2="${at(y2)}" ${style}/>`;

export const text = (x: number, y: number, words: string, style: string): string =>
  `<text x="${at(x)}" y="${at(y)}"${style}>${escaped(words)}</text>`;
