import { escapeXml } from "./svg.ts";

/** What a page may load and run: its own styles and script, nothing from anywhere else. */
const POLICY =
  "default-src 'none'; style-src 'unsafe-inline'; script-src 'unsafe-inline'; font-src data:; img-src data:";

/** A whole page. `body` and `style` are trusted: they are made here, not given. */
export const page = (title: string, style: string, body: string, language = "en"): string => `<!doctype html>
<html lang="${language}">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta http-equiv="Content-Security-Policy" content="${POLICY}">
<title>${escapeXml(title)}</title>
<style>${style}</style>
</head>
<body>
${body}
</body>
</html>
`;
