"""The one style sheet of our HTML sheets: readable on a screen and on paper, nothing loaded from elsewhere."""

CSS = """
@page { size: A4; margin: 14mm 12mm; }
* { box-sizing: border-box; }
html { color: #16202a; background: #fff; font: 10.5pt/1.42 "B612", "Verdana", sans-serif; }
body { max-width: 190mm; margin: 0 auto; padding: 6mm; }
h1 { font-size: 20pt; line-height: 1.15; margin: 0 0 1mm; }
h2 { font-size: 12.5pt; margin: 8mm 0 2mm; padding-bottom: 1mm; border-bottom: 0.6mm solid #16202a; }
p { margin: 0 0 2mm; }
table { width: 100%; border-collapse: collapse; }
th, td { text-align: left; vertical-align: top; padding: 1.1mm 2mm 1.1mm 0; border-bottom: 0.2mm solid #b9c2c9; }
thead { display: table-header-group; }
tr, figure, .box { break-inside: avoid; }
th { font-weight: 700; }
td.at, td.by, td.num { white-space: nowrap; }
.facts { display: grid; grid-template-columns: repeat(auto-fit, minmax(42mm, 1fr)); gap: 2mm 6mm; margin: 3mm 0 4mm; }
.facts div { border-left: 1mm solid #16202a; padding-left: 2.5mm; }
.facts span { display: block; font-size: 9pt; color: #3d4a55; }
.facts b { font-size: 11.5pt; }
.mark { display: inline-block; min-width: 24mm; font-weight: 700; }
.tone-danger td { background: #fbe3e1; } .tone-warn td { background: #fdf1d8; } .tone-good td { background: #e5f2e8; }
.box { border: 0.5mm solid #16202a; padding: 3mm 4mm; margin: 3mm 0; }
.box.danger { border-color: #9b1c14; border-width: 1mm; }
.practice { background: #16202a; color: #fff; padding: 3mm 4mm; font-weight: 700; margin-bottom: 4mm; }
.evidence { color: #2c3843; font-size: 9.5pt; }
.pictures { display: flex; flex-wrap: wrap; gap: 4mm; } figure { margin: 0; } figcaption { font-size: 9pt; color: #3d4a55; }
h3 { font-size: 11pt; margin: 5mm 0 1mm; }
.board { table-layout: fixed; } .board th:first-child { width: 38mm; } .board th:nth-child(2) { width: 34mm; }
.counts { table-layout: fixed; } .counts td:first-child { width: 10mm; } .counts td:last-child { width: 14mm; }
.board tr { break-inside: auto; } .board p, .board li { break-inside: avoid; } a { color: inherit; }
.board ul { margin: 0 0 2mm; padding-left: 5mm; }
figure img { display: block; max-width: 88mm; max-height: 88mm; }
svg { max-width: 100%; height: auto; }
.signatures { display: flex; flex-wrap: wrap; gap: 6mm; }
.signatures .box { flex: 1 1 75mm; }
code { font: 9pt/1.3 "DejaVu Sans Mono", monospace; overflow-wrap: anywhere; }
footer { margin-top: 8mm; font-size: 9pt; color: #3d4a55; }
""".strip()
