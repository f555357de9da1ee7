// theme.js: colours of charts and drawings. The two edges of a lobe are blue and vermilion, a pair that every kind of
// colour blindness tells apart, and they are drawn solid and dashed besides.

export var light = {
  paper: '#ffffff', ink: '#1b232b', faint: '#57636e', line: '#ccd3d9', ground: '#eef1f3',
  front: '#0b62a8', rear: '#c1440e', reference: '#6b7780', limit: '#1b232b', area: '#dfe5ea',
  wear: ['#f4f1e8', '#dcc48a', '#b98b3e', '#82501d', '#40200a'], metal: '#b9c2c9', metalEdge: '#66727c'
};

export var dark = {
  paper: '#171c21', ink: '#eaeef1', faint: '#a5b0b9', line: '#3a444d', ground: '#20272e',
  front: '#62b0f2', rear: '#ff9560', reference: '#96a2ac', limit: '#eaeef1', area: '#2b343c',
  wear: ['#20272e', '#4b3a1f', '#8a5d22', '#cf9a48', '#ffe9b8'], metal: '#5b6770', metalEdge: '#a5b0b9'
};
