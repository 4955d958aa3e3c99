declare module "verovio/wasm" {
  export default function createVerovioModule(): Promise<unknown>;
}
declare module "verovio/esm" {
  export class VerovioToolkit {
    constructor(module: unknown);
    setOptions(options: object): void;
    loadData(data: string): boolean;
    getLog(): string;
    getPageCount(): number;
    renderToSVG(page: number): string;
  }
}
