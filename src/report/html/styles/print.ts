/** On paper: A4 or Letter, whichever the printer holds; a strip with an open path starts a page. */
export const print = `
@page{margin:16mm 15mm 18mm}
@media print{
html{font-size:9.6pt}
body{padding:0;max-width:none}
nav,.skip,.tools,.filters,.fold,.tip{display:none!important}
a{text-decoration:none}
section{margin-top:7mm}
h2,h3,h4,caption,summary,.strip-name{break-after:avoid}
figure,tr,caption,.causes>li,.pull>li,.map li,.do div{break-inside:avoid}
thead{display:table-header-group}
.wide{overflow:visible}
.ranking{min-width:0}
.figures{grid-template-columns:1fr 1fr;gap:4mm 6mm}
figure{max-width:none}
.wide-strip{width:88mm}.wide-strip .tick{font-size:12px}
th,td{padding-top:.1rem;padding-bottom:.08rem}
.family .figures{grid-template-columns:1fr 1fr;gap:2mm 6mm;margin:2mm 0}
th button{display:contents}
#strips,#measurement{break-before:page}
#map,.family .figures{break-inside:avoid}
.one-strip:has(details[open])~.one-strip:has(details[open]){break-before:page}
.one-strip:not(:has(details[open])),.one-strip details:not([open]){display:none}
#ranking{break-before:auto}
.map{display:block}.map li{display:inline-block;vertical-align:top;width:19mm;margin:0 .4mm 2.5mm 0}
.cell,.swatch,.plot,svg,.doubts{print-color-adjust:exact;-webkit-print-color-adjust:exact}
summary::before{content:""!important;width:0}
.body{padding-left:0}
.lit>*{background:none}
}
`;
