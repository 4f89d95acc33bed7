/** Black on white, in sizes of print; widths hold on A4 and on Letter. */
export const printStyle = `
:root { color-scheme: light; }
* { box-sizing: border-box; }
body { margin: 1.5rem auto; padding: 0 1rem; max-width: 54rem; background: #fff; color: #000;
  font: 10.5pt/1.35 system-ui, "Liberation Sans", Arial, sans-serif; }
h1 { font-size: 17pt; margin: 0 0 .6rem; overflow-wrap: anywhere; }
h2 { font-size: 12pt; margin: 1rem 0 .3rem; break-after: avoid; }
p, ul, ol, dl { margin: .3rem 0; }
ul, ol { padding-left: 1.4rem; }
li { margin: .15rem 0; }
.cautions { border: 2pt solid #000; padding: .3rem .7rem .5rem; font-weight: 600; }
.cautions h2 { margin-top: .2rem; }
dl { display: grid; grid-template-columns: max-content 1fr; gap: .1rem .8rem; margin: .7rem 0; }
dt { font-weight: 600; }
dd { margin: 0; overflow-wrap: anywhere; }
code { font-size: 9.5pt; overflow-wrap: anywhere; }
table { width: calc(100% - 1pt); border-collapse: collapse; }
thead { display: table-header-group; }
th, td { border: .6pt solid #000; padding: .22rem .4rem; text-align: left; vertical-align: top;
  overflow-wrap: anywhere; }
thead th { font-size: 9pt; font-weight: 600; border-bottom-width: 1.4pt; }
tr { break-inside: avoid; }
.inputs th { white-space: nowrap; overflow-wrap: normal; }
.inputs td:nth-child(2), .inputs td:nth-child(3) { white-space: nowrap; }
.patches { table-layout: fixed; font-size: 9.5pt; }
.patches th:nth-child(1) { width: 2.9rem; }
.patches th:nth-child(2) { width: 2.4rem; }
.patches thead th:nth-child(3) { width: 5.2rem; }
.patches thead th:nth-child(5) { width: 21%; }
.patches thead th:nth-child(6) { width: 16%; }
.patches thead th:first-child, .patches thead th:nth-child(2) { overflow-wrap: normal; }
.patches tbody th { font-size: 11pt; }
.tick { text-align: center; }
.tick span { display: inline-block; width: 11pt; height: 11pt; border: 1.2pt solid #000;
  margin-top: .1rem; }
.room { height: 3.1rem; }
@page { margin: 13mm 12mm; }
@media print {
  body { margin: 0; padding: 0; max-width: none; font-size: 10pt; }
  .cautions, .inputs { break-inside: avoid; }
  ol li, ul li { break-inside: avoid; }
}
`;
