/**
 * Ink on paper, with one colour per standing. The three differ in lightness as well as in hue, and
 * always go with a shape and a word.
 */
const light = `
--paper:#fdfcf8;--ink:#1e1c19;--soft:#5c574e;--rule:#c9c3b6;--faint:#efece3;
--band:#dfdacd;--median:#857e70;--grid:#e6e2d8;--fine:#f1eee6;--before:#1f5f99;
--service:#a8320a;--watch:#7a5600;--setting:#1f5f99;
--o1:#f6ead6;--o2:#f0d3a8;--o3:#eab580;--o4:#e0925c;--lit:#a8320a;`;

const dark = `
--paper:#16181a;--ink:#e9e4d9;--soft:#aaa498;--rule:#46494c;--faint:#202326;
--band:#34383b;--median:#8f8a80;--grid:#292c2f;--fine:#1f2224;--before:#8cbcf0;
--service:#ff9d73;--watch:#e6bd62;--setting:#8cbcf0;
--o1:#2c2620;--o2:#453422;--o3:#624325;--o4:#85522b;--lit:#ff9d73;`;

export const colours = `
:root{color-scheme:light dark;${light}}
@media (prefers-color-scheme:dark){:root{${dark}}}
@media print{:root{color-scheme:light;${light}--paper:#fff;}}
`;
