/* Shaders of the picture, as text swapped into vtk.js's own. Plants are lit a corner in the vertex
   shader, built things a pixel, in the light of the month and hour shown (viz/palette.py has the
   same sums); leaf cards are cut out by the atlas. The ground is its baked picture times the
   light that is left to it. */

const CUT = 0.42; // cut-out level of the atlas, as in viz/atlas.py

const LIGHT = `uniform vec3 lightTowards;
uniform vec3 lightSun;
uniform vec3 lightSky;
uniform vec3 lightBounce;
uniform float lightExposure;
uniform vec3 lightLit;
uniform vec3 lightDull;`;

/* Tells a program the light shown, and whatever else. */
function lightTeller(picture, more = () => {}) {
  return { callback: (_, cells) => {
    const program = cells.getProgram();
    const { light } = picture;
    for (const name of ['towards', 'sun', 'sky', 'bounce', 'lit', 'dull']) {
      const uniform = `light${name[0].toUpperCase()}${name.slice(1)}`;
      if (program.isUniformUsed(uniform)) program.setUniform3f(uniform, ...light[name]);
    }
    if (program.isUniformUsed('lightExposure')) program.setUniformf('lightExposure', light.exposure);
    more(program);
  } };
}

/* Screen colour of what the eye receives, as in palette.developed. */
const SHOWN = `radiance *= lightExposure;
    float bright = max(dot(radiance, vec3(0.2126, 0.7152, 0.0722)), 1e-5);
    float rolled = (1.0 - exp(-1.2 * bright)) * (0.80 + 0.20 * smoothstep(0.0, 0.25, bright));
    vec3 shown = pow(clamp(radiance * rolled / bright, 0.0, 1.0), vec3(1.0 / 2.2));`;

/* Shader of instanced plants: leaf colour or own colour, sun, sky, bounce, light through leaves. */
function plantShaders() {
  const lit = `
    vec3 nW = normalize(gNormal * normalMC);
    float own = step(0.5, tintMC.a);
    vec3 leaf = pow(gColor.rgb, vec3(2.2));
    vec3 albedo = mix(leaf * tintMC.rgb, tintMC.rgb, own);
    float facing = dot(nW, lightTowards);
    float wrapped = clamp((facing + 0.22) / 1.22, 0.0, 1.0);
    float up = 0.5 + 0.5 * nW.z;
    vec3 light = lightSun * wrapped + lightSky * (1.15 * up + 0.30)
      + lightBounce * 1.6 * (1.0 - up);
    light += (1.0 - own) * vec3(1.25, 1.15, 0.55) * lightSun * 0.30 * clamp(0.25 - 0.8 * facing, 0.0, 1.0);
    vec3 radiance = albedo * light;
    ${SHOWN}
    litV = shown;
    leafV = leafMC;`;
  const cut = `
    vec4 tcolor = texture2D(leaves, leafV);
    vec2 texel = fwidth(leafV) * 1024.0;
    float level = max(0.0, log2(max(texel.x, texel.y)));
    if (tcolor.a * (1.0 + 0.30 * level) < ${CUT}) discard;`;
  return [
    swap('Vertex', '//VTK::Color::Dec', `${LIGHT}\nattribute vec4 tintMC;\nattribute vec2 leafMC;\nvarying vec3 litV;\nvarying vec2 leafV;\n//VTK::Color::Dec`),
    swap('Vertex', '//VTK::Normal::Impl', `//VTK::Normal::Impl\n${lit}`),
    swap('Fragment', '//VTK::Color::Dec', 'varying vec3 litV;\nvarying vec2 leafV;\nuniform sampler2D leaves;\n//VTK::Color::Dec'),
    swap('Fragment', '//VTK::TCoord::Impl', `//VTK::TCoord::Impl\n${cut}`),
    swap('Fragment', '//VTK::Light::Impl', 'gl_FragData[0] = vec4(litV * tcolor.rgb, 1.0);'),
  ];
}

/* Shader of built things: their own colour in the light, by the way each face looks. */
function builtShaders() {
  const dec = 'varying vec3 placeV;\nvarying vec2 reachV;\n//VTK::Color::Dec';
  return [
    swap('Vertex', '//VTK::Color::Dec', `attribute vec2 reachMC;\n${dec}`),
    swap('Vertex', '//VTK::PositionVC::Impl', '//VTK::PositionVC::Impl\nplaceV = vertexMC.xyz; reachV = reachMC;'),
    swap('Fragment', '//VTK::Color::Dec', `${LIGHT}\n${dec}`),
    swap(
      'Fragment',
      '//VTK::Light::Impl',
      `vec3 nW = normalize(cross(dFdx(placeV), dFdy(placeV)));
    float up = 0.5 + 0.5 * nW.z;
    vec3 radiance = pow(vertexColorVSOutput.rgb, vec3(2.2)) * (
      lightSun * reachV.x * clamp((dot(nW, lightTowards) + 0.12) / 1.12, 0.0, 1.0)
      + reachV.y * (lightSky * (1.15 * up + 0.30) + lightBounce * 1.6 * (1.0 - up)));
    ${SHOWN}
    gl_FragData[0] = vec4(shown, 1.0);`,
    ),
  ];
}

/* Shader of the ground: the baked picture in what sun and sky are left to it; a layer laid over
   it keeps its own colours, so that they are those of its key. */
function groundShaders(laid) {
  return [
    swap('Fragment', '//VTK::TCoord::Dec', `//VTK::TCoord::Dec
${LIGHT}
uniform sampler2D texture2;
${laid ? 'uniform sampler2D texture3;' : ''}`),
    swap(
      'Fragment',
      '//VTK::Light::Impl',
      `vec2 left = texture2D(texture2, tcoordVCVSOutput).rg;
       ${WINTER_GRASS}
       vec4 over = ${laid ? 'texture2D(texture3, tcoordVCVSOutput)' : 'vec4(0.0)'};
       vec3 under = tcolor.rgb * grass * mix(lightDull, lightLit, left.r) * mix(vec3(0.38, 0.42, 0.50), vec3(1.0), left.g);
       gl_FragData[0] = vec4(under * (1.0 - over.a) + over.rgb, 1.0);`,
    ),
  ];
}

/* Shader of the land beyond: its colour times the grain of the tile, whose mean is 127. */
function landShaders() {
  return [
    swap('Fragment', '//VTK::TCoord::Dec', `//VTK::TCoord::Dec\n${LIGHT}`),
    swap(
      'Fragment',
      '//VTK::Light::Impl',
      `tcolor.rgb *= vertexColorVSOutput.rgb * 2.0;
       ${WINTER_GRASS}
       gl_FragData[0] = vec4(tcolor.rgb * grass * lightLit, 1.0);`,
    ),
  ];
}

/* Grass is duller in the bare season; the property's ambient number says which season it is. */
const WINTER_GRASS = `float green = smoothstep(0.0, 0.06, tcolor.g - max(tcolor.r, tcolor.b)) * ambient;
       vec3 grass = mix(vec3(1.0), vec3(1.14, 0.92, 1.0), green);`;

function swap(shaderType, originalValue, replacementValue) {
  return { shaderType, originalValue, replacementValue, replaceFirst: true, replaceAll: false };
}
