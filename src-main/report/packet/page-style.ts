/** The page's style: ink on paper, hairlines, nothing that needs colour; prints as it stands. Its hash is in the content policy. */
export const PAGE_STYLE = `
:root { color-scheme: light; }
* { box-sizing: border-box; }
body { margin: 0 auto; padding: 24px 32px 64px; max-width: 1080px; background: #fff; color: #111;
  font: 15px/1.45 'Source Sans 3', 'Noto Sans', 'DejaVu Sans', sans-serif; font-variant-numeric: tabular-nums lining-nums; }
h1, h2, h3, .lead { font-family: Palatino, 'Palatino Linotype', 'URW Palladio L', 'Book Antiqua', serif; font-weight: 600; line-height: 1.25; }
h1 { font-size: 30px; margin: 0 0 8px; } h2 { font-size: 23px; margin: 40px 0 8px; border-top: 3px double #111; padding-top: 12px; }
h3 { font-size: 17px; margin: 24px 0 6px; }
.lead { font-size: 19px; font-weight: 400; margin: 8px 0 16px; max-width: 46em; }
p { margin: 8px 0; max-width: 52em; } .small { font-size: 13px; color: #444; }
.box { border: 1.5px solid #111; padding: 10px 16px; margin: 14px 0; } .box h2 { margin: 0 0 4px; padding: 0; border: 0; font-size: 17px; break-before: auto; }
ul { margin: 4px 0; padding-left: 20px; } li { margin: 3px 0; max-width: 52em; }
dl { display: grid; grid-template-columns: max-content 1fr; gap: 2px 18px; margin: 10px 0; } dt { color: #444; } dd { margin: 0; overflow-wrap: anywhere; }
.scroll { overflow-x: auto; margin: 10px 0; } .scroll:focus-visible, .frame:focus-visible, button:focus-visible, a:focus-visible { outline: 2px solid #111; outline-offset: 2px; }
table { border-collapse: collapse; width: 100%; font-size: 13px; } caption { text-align: left; font-size: 13px; color: #444; padding-bottom: 4px; }
th { text-align: left; font-weight: 600; border-bottom: 1.5px solid #111; padding: 3px 10px 3px 0; vertical-align: bottom; }
td { border-bottom: 0.5px solid #999; padding: 3px 10px 3px 0; vertical-align: top; overflow-wrap: break-word; }
th.right, td.right { text-align: right; white-space: nowrap; }
figure { margin: 14px 0; } .frame { border: 0.5px solid #999; } figure svg { display: block; width: 100%; height: auto; touch-action: pan-y; }
figcaption { font-size: 13px; color: #444; padding-top: 4px; }
.zoom { display: flex; gap: 8px; margin-bottom: 4px; }
button { font: inherit; font-size: 13px; min-height: 28px; padding: 2px 12px; border: 1px solid #111; background: #fff; color: #111; cursor: pointer; }
nav ol { columns: 2; padding-left: 20px; } a { color: #111; }
footer { margin-top: 48px; border-top: 1px solid #111; padding-top: 8px; font-size: 13px; color: #444; }
@media print { .zoom, nav { display: none; } body { max-width: none; padding: 0; } h2 { break-before: page; } figure, tr, .box { break-inside: avoid; } }
`;
