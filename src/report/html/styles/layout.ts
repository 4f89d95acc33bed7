/** Layout of the page. */
export const layout = `
*,*::before,*::after{box-sizing:border-box}
body{margin:0 auto;padding:0 1.5rem 4rem;max-width:72rem}
.skip{position:absolute;left:-99rem}
.skip:focus{left:1rem;top:1rem;background:var(--paper);padding:.5rem 1rem}
.pieces{position:absolute}
.unseen{position:absolute;width:1px;height:1px;overflow:hidden;clip-path:inset(50%);white-space:nowrap}
section{margin-top:3.2rem}
h2{border-top:1px solid var(--ink);padding-top:.6rem;margin-bottom:.6rem}
h3{margin-top:1.6rem}h4{margin-top:1.3rem}
.mast{border-top:5px double var(--ink);margin-top:2rem;padding-top:.7rem}
.kicker{max-width:none;display:flex;justify-content:space-between;gap:1rem;margin:0 0 1.6rem;font-variant-caps:all-small-caps;letter-spacing:.06em;font-size:1.02rem}
.verdict{font-size:1.28rem;line-height:1.42;max-width:50rem;margin:1rem 0 1.2rem}
.counts{display:flex;flex-wrap:wrap;gap:.3rem 2.2rem;margin:1rem 0}
.counts div{display:flex;flex-direction:row-reverse;gap:.5rem;align-items:baseline}
.counts dd{margin:0;font-size:1.35rem}
nav ul{display:flex;flex-wrap:wrap;gap:.2rem 1.6rem;list-style:none;padding:.55rem 0;margin:1.4rem 0 0;border:solid var(--rule);border-width:1px 0}
ul,ol{padding-left:1.3rem}
.doubts{border:1px solid var(--service);border-left-width:6px;padding:.3rem 1rem;margin:1rem 0}
.doubts h3{margin-top:.4rem}
.caution{border-left:6px solid var(--ink);padding-left:1rem;max-width:50rem}
.pull{columns:2 26rem;column-gap:3rem}.pull>li{margin:0 0 1rem;break-inside:avoid}.pull>li::marker{color:var(--soft)}
.pull p{margin:.25rem 0}
.do{margin:.2rem 0 .6rem}
.do div,.states div{display:grid;grid-template-columns:5.2rem minmax(0,1fr);gap:0 .8rem}
.do dt,.states dt{grid-column:1;color:var(--soft);font-style:italic}
.do dd,.states dd{grid-column:2;margin:0}
.states div{grid-template-columns:15rem minmax(0,1fr);padding:.25rem 0;border-top:1px solid var(--rule)}
.causes{list-style:none;padding:0}
.causes>li{margin:.8rem 0}
.cause{display:flex;flex-wrap:wrap;gap:.2rem .8rem;align-items:center;margin:.2rem 0;max-width:none}
.cause b{font-weight:600}
.chance{display:inline-flex;align-items:center;gap:.5rem;font-variant-numeric:lining-nums}
.chance svg{width:9rem;height:.55rem}
.chance .all{fill:var(--faint);stroke:var(--rule)}.chance .share{fill:var(--ink)}
.findings,.absent{list-style:none;padding:0}
.severity{display:inline-block;min-width:4.4rem;font-style:italic;color:var(--soft)}
.absent li,.how{font-size:.88rem;color:var(--soft)}

.map{display:flex;flex-wrap:wrap;gap:.9rem 3px;list-style:none;padding:0;margin:1.2rem 0 .8rem}
.map li{width:5.35rem;max-width:none}
.map .name{display:block;text-align:center;font-variant-numeric:lining-nums;padding-bottom:.15rem}
.cell{position:relative;display:grid;grid-template:"in sh" auto "why why" 1.1rem/1fr auto;gap:0 .2rem;padding:.2rem .35rem;min-height:2.9rem;border:1px solid var(--rule);margin-top:3px;text-decoration:none;font:.78rem/1.25 var(--sans);color:var(--ink);background:var(--paper)}
.cell .in{grid-area:in;overflow:hidden;text-overflow:ellipsis;white-space:nowrap}
.cell .sh{grid-area:sh}.cell .why{grid-area:why;font-weight:600;white-space:nowrap;overflow:hidden;text-overflow:ellipsis}
.cell.alike .in,.cell.alike .sh{color:var(--soft)}
.cell:hover{border-color:var(--ink)}
.cell.none{border-style:dotted}
.cell.service,.cell.watch{border-color:var(--own);border-bottom-width:4px;min-height:2.9rem}
.cell.setting{border-color:var(--own);border-style:dashed}
.cell.unmeasured,.cell.unjudged{background:repeating-linear-gradient(135deg,var(--faint) 0 3px,var(--paper) 3px 7px)}
.o1{background:var(--o1)}.o2{background:var(--o2)}.o3{background:var(--o3)}.o4{background:var(--o4)}
.legend{font-size:.88rem;color:var(--soft);max-width:none}
.swatch{display:inline-block;min-width:2rem;text-align:center;padding:0 .3rem;border:1px solid var(--rule);color:var(--ink);font-family:var(--sans);font-size:.78rem;font-variant-numeric:lining-nums}
.sign{white-space:nowrap;margin-left:.8rem}
.lit>.name{background:var(--ink);color:var(--paper)}

table{border-collapse:collapse;border:solid var(--ink);border-width:1.5px 0;margin:.8rem 0;font-size:.9rem;line-height:1.35}
caption{text-align:left;padding-bottom:.4rem;max-width:min(46rem,calc(100vw - 2rem))}
th{font-weight:400;text-align:left}
thead th{border-bottom:1px solid var(--ink);font-style:italic;vertical-align:bottom}
th,td{padding:.28rem .9rem .28rem 0;vertical-align:top}
td ul{margin:0;padding:0;list-style:none}
tbody tr+tr>*{border-top:1px solid var(--faint)}
.n{text-align:right}
.wide{overflow-x:auto}
.ranking td{min-width:3rem}.ranking{width:100%;min-width:54rem}
.ranking th[scope=row]{white-space:nowrap}
#ranking:not(:has(#all-paths:checked)) .folded tr.alike{display:none}
.fold{margin:.4rem 0}
tr.lit>*{background:var(--faint)}
th button{all:unset;white-space:nowrap;cursor:pointer;border-bottom:1px dotted var(--median)}
th button:focus-visible{outline:2px solid var(--before);outline-offset:2px}
th[aria-sort=ascending] button::after{content:" ▲";font-style:normal;font-size:.7em}
th[aria-sort=descending] button::after{content:" ▼";font-style:normal;font-size:.7em}
.filters{display:flex;flex-wrap:wrap;gap:.4rem 1.2rem;align-items:baseline;margin:.8rem 0}
[hidden]{display:none!important}
.filters label{min-width:0;max-width:100%}
select{max-width:100%}
select,button[data-open]{font:inherit;font-size:.94rem;color:inherit;background:var(--paper);border:1px solid var(--median);padding:.1rem .4rem}
.filters output{color:var(--soft)}

.one-strip{margin-top:1.6rem}
.strip-name{font-variant-caps:all-small-caps;letter-spacing:.06em;margin:0 0 .1rem;color:var(--soft);font-size:1.05rem}
details.path{border-top:1px solid var(--rule)}
.one-strip>details:last-child{border-bottom:1px solid var(--rule)}
summary{cursor:pointer;padding:.3rem 0;display:flex;flex-wrap:wrap;gap:0 1rem;align-items:baseline;list-style:none}
summary::-webkit-details-marker{display:none}
summary::before{content:"+";width:.8rem;color:var(--soft);font-family:var(--sans)}
details[open]>summary::before{content:"–"}
summary h3{margin:0;font-style:normal}
details[open]>summary h3{font-size:1.5rem}
.place{color:var(--soft)}
.body{padding:0 0 1.6rem 1.8rem;scroll-margin-top:4rem}
.lit>summary h3{text-decoration:underline;text-decoration-thickness:2px;text-underline-offset:.2em}
.said,.figured{display:grid;grid-template-columns:repeat(auto-fit,minmax(min(100%,25rem),1fr));gap:0 3rem}
.figured{grid-template-columns:minmax(0,auto) minmax(0,1fr)}
.figures{display:grid;grid-template-columns:repeat(auto-fit,minmax(min(100%,25rem),1fr));gap:1.4rem 2rem;margin:1.2rem 0}
.family .figures{grid-template-columns:repeat(auto-fit,minmax(min(100%,20.5rem),1fr))}
figure{margin:0;max-width:36rem}
figcaption{line-height:1.4;margin-top:.2rem;padding-left:.4rem}
.odd-mark{color:var(--service);font-size:.7em;margin-right:.3rem}
.tip{position:absolute;pointer-events:none;background:var(--ink);color:var(--paper);font:.78rem/1.4 var(--sans);padding:.2rem .5rem;white-space:pre;z-index:2}
@media (max-width:62rem){.figured{grid-template-columns:minmax(0,1fr)}}
@media (max-width:40rem){html{font-size:16px}body{padding:0 1rem 3rem}h1{font-size:2rem}.verdict{font-size:1.12rem}.body{padding-left:0}.kicker{margin-bottom:1rem}.map{gap:.7rem 2px}.map li{width:4.75rem}.cell{padding:.15rem .25rem}.do div{grid-template-columns:4.4rem minmax(0,1fr)}.states div{grid-template-columns:1fr}.states dd{grid-column:1}.sign{margin:0 .8rem 0 0}.ranking{min-width:0;font-size:.8rem}.ranking td,.ranking th{padding-right:.5rem}.ranking td:nth-child(5){min-width:7.4rem}.ranking td:nth-child(6){overflow-wrap:anywhere}.ranking th:first-child,.ranking td:first-child,.ranking th:last-child,.ranking td.among,.ranking th:nth-child(4),.ranking td:nth-child(4){display:none}.ranking td{min-width:0}.stack thead{display:none}.stack tr{display:block;padding:.3rem 0}.stack tr+tr{border-top:1px solid var(--rule)}.stack tr>*,.stack tbody tr+tr>*{display:block;border:0;padding:.05rem 0;text-align:left;overflow-wrap:anywhere}.stack tbody tr>td,.stack tbody tr+tr>td{padding-left:5.4rem}.stack td::before{content:attr(data-l);float:left;margin-left:-5.4rem;color:var(--soft);font-style:italic}.stack td:empty{display:none}.uncertainties{font-size:.72rem}.uncertainties th,.uncertainties td{padding-right:.35rem}.readings{font-size:.78rem}.body .readings th:last-child,.body .readings td:last-child{display:none}.family .readings{display:block}.family .readings thead{display:none}.family .readings tbody,.family .readings caption{display:block}.family .readings tr{display:grid;grid-template-columns:1fr auto;padding:.2rem 0 .3rem}.family .readings td:last-child{grid-column:1/3;padding:0;border:0}.family .readings td.n{padding-right:0}}
`;
