/** Styles of the plots, also used in every separate plot file. */
export const plots = `
svg{display:block;max-width:100%;overflow:visible}
.plot{width:100%;height:auto}
.plot path,.plot use{fill:none}
.tick,.axis,.note{font-family:"Gill Sans","Gill Sans Nova","Trebuchet MS","Segoe UI","Liberation Sans",Helvetica,Arial,sans-serif;fill:var(--soft)}
.tick{font-size:11px;font-variant-numeric:tabular-nums}.axis{font-size:11px;font-style:italic}.note{font-size:10px}
.grid{stroke:var(--grid);fill:none}.fine{stroke:var(--fine);fill:none}
.c{vector-effect:non-scaling-stroke;stroke-linejoin:round}
.plot .band,.plot use.band{fill:var(--band);stroke:none}
.plot .median{stroke:var(--median);stroke-width:1px}
.plot .own{stroke:var(--ink);stroke-width:1.9px}
.plot .before{stroke:var(--before);stroke-width:1.6px;stroke-dasharray:6 3.5}
.plot .other{stroke:var(--ink);stroke-width:1.6px;stroke-dasharray:1.5 3;stroke-linecap:round}
.plot .h2,.plot .h3,.plot .h4,.plot .h5{stroke:var(--soft);stroke-width:1.1px}
.plot .h3{stroke-dasharray:7 2}.plot .h4{stroke-dasharray:4 2}.plot .h5{stroke-dasharray:2 2}
.plot .sib{stroke:var(--ink);stroke-width:.8px;opacity:.5}
.plot .sib.odd{stroke:var(--service);stroke-width:1.6px;opacity:1}
.plot .lit .sib{stroke:var(--lit);stroke-width:2.4px;opacity:1}
.plot path.caret{fill:var(--service)}
.plot path.stem{stroke:var(--service);stroke-width:1.3px}.plot .head{fill:var(--service)}
.plot path.floor{fill:var(--faint)}
.doubt{stroke:var(--ink);fill:none}.step{fill:var(--paper);stroke:var(--ink);stroke-width:1.4px}
.year{fill:var(--ink);stroke:none}
.part{stroke:var(--median);stroke-width:3px}
.plot .break{fill:var(--watch);opacity:.75}.plot .clipped{fill:var(--service)}.plot .dropout{fill:none;stroke:var(--service)}
.plot .cross{stroke:var(--ink);stroke-dasharray:2 2}
.strip{width:8.2rem;height:auto}.wide-strip{width:32.5rem;height:auto}
.scale{stroke:var(--median);fill:none}.wide-strip .tick{font-size:9.5px}
.ends{display:flex;justify-content:space-between;font-size:.82em;color:var(--soft);font-variant-numeric:lining-nums tabular-nums}.readings .ends{display:none}.among .ends{max-width:8.2rem}
@media (max-width:40rem){.wide-strip{width:100%}.wide-strip .tick{font-size:14px}.wide-strip .note{font-size:14px}.wide-strip .dot{r:4.4px}}
.strip-band{fill:var(--band)}.strip-median{stroke:var(--median)}
.strip-dots{stroke:var(--soft);stroke-width:3.4px;stroke-linecap:round;fill:none}
.strip-own{fill:var(--ink);stroke:var(--paper);stroke-width:1.2px;paint-order:stroke}
.dot{fill:var(--paper);fill-opacity:.6;stroke:var(--soft)}.dot.odd{fill:var(--service);fill-opacity:1;stroke:var(--service)}
.dot.lit{fill:var(--lit);fill-opacity:1;stroke:var(--ink);r:4.6px}
.wide-strip .note{fill:var(--ink);font-family:"Liberation Sans",Helvetica,Arial,sans-serif}
`;
