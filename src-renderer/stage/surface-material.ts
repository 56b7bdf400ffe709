import { Color, type DataTexture, DoubleSide, ShaderMaterial, Vector2 } from "three";

/** Stands for "no value" in the distances of vertices: graphics cards need not know NaN. */
export const NO_DISTANCE = 1e6;

const VERTEX = /* glsl */ `
  attribute float hollow;
  attribute float distance;
  attribute vec3 painted;
  varying vec3 vPainted;
  varying vec3 vNormal;
  varying float vHollow;
  varying float vDistance;
  varying float vValued;
  varying float vDepth;

  void main() {
    vNormal = normalMatrix * normal;
    vHollow = hollow;
    vPainted = painted;
    vValued = distance < 1e5 ? 1.0 : 0.0;
    vDistance = distance * vValued;
    vec4 seen = modelViewMatrix * vec4(position, 1.0);
    vDepth = seen.z;
    gl_Position = projectionMatrix * seen;
  }
`;

const FRAGMENT = /* glsl */ `
  uniform vec3 plaster;
  uniform vec3 shadow;
  uniform vec3 inside;
  uniform sampler2D ramp;
  uniform float mapped;
  uniform float range;
  uniform vec2 depths;
  uniform float hatched;
  uniform float pixel;
  uniform vec3 covered;
  uniform vec3 chosen;
  varying vec3 vPainted;
  varying vec3 vNormal;
  varying float vHollow;
  varying float vDistance;
  varying float vValued;
  varying float vDepth;

  void main() {
    vec3 n = normalize(vNormal);
    bool outside = gl_FrontFacing;
    if (!outside) n = -n;
    // A lamp over the left shoulder, a weak one from the right, and light from all around.
    float lamp = max(dot(n, normalize(vec3(-0.45, 0.62, 0.64))), 0.0);
    float fill = max(dot(n, normalize(vec3(0.7, -0.25, 0.5))), 0.0);
    float light = 0.34 + 0.58 * lamp + 0.20 * fill;
    light *= 1.0 - 0.42 * max(vHollow, 0.0) + 0.10 * max(-vHollow, 0.0);
    light *= mix(0.84, 1.0, smoothstep(depths.x, depths.y, vDepth));
    float gloss = pow(max(dot(n, normalize(vec3(-0.25, 0.38, 0.89))), 0.0), 42.0) * 0.12;

    vec3 body = plaster;
    if (mapped > 0.5) {
      body = texture2D(ramp, vec2(clamp(vDistance / range * 0.5 + 0.5, 0.002, 0.998), 0.5)).rgb;
      if (vValued < 0.999) {
        float stripe = step(0.5, fract((gl_FragCoord.x + gl_FragCoord.y) / 9.0));
        body = mix(vec3(0.62), vec3(0.74), stripe);
      }
      light = mix(light, 1.0, 0.30);
    }
    if (hatched > 0.5 && mapped < 0.5) {
      // Patterns in the picture's plane: slanted lines for what is covered, dots for the reference.
      vec2 at = gl_FragCoord.xy / pixel;
      float line = smoothstep(0.30, 0.42, abs(fract((at.x + at.y) / 9.0) - 0.5) * 2.0);
      float dot = 1.0 - smoothstep(1.7, 2.5, length((fract(vec2(at.x + at.y, at.x - at.y) / 10.0) - 0.5) * 10.0 * 0.7071));
      if (vPainted.z > 0.5) body = mix(body, chosen, 0.28 * dot);
      if (vPainted.y > 0.5) body = mix(mix(body, chosen, 0.16), chosen, 0.85 * dot);
      if (vPainted.x > 0.5) body = mix(mix(body, covered, 0.18), covered, 0.62 * (1.0 - line));
    }
    if (!outside) body = inside;
    gl_FragColor = vec4(mix(shadow * body, body * 1.04, clamp(light, 0.0, 1.0)) + gloss, 1.0);
  }
`;

/** The colour as it is written, without any conversion: the shader mixes in the screen's own values. */
const plain = (hex: string): Color => new Color().setStyle(hex, "");

/** Plaster under a lamp; or, where `mapped` is 1, the colours of the distance map. */
export function surfaceMaterial(ramp: DataTexture): ShaderMaterial {
  return new ShaderMaterial({
    side: DoubleSide,
    vertexShader: VERTEX,
    fragmentShader: FRAGMENT,
    uniforms: {
      plaster: { value: plain("#ecdfca") },
      shadow: { value: plain("#4b4137") },
      inside: { value: plain("#a79d8e") },
      ramp: { value: ramp },
      mapped: { value: 0 },
      range: { value: 1 },
      hatched: { value: 0 },
      pixel: { value: 1 },
      covered: { value: plain("#3a4048") },
      chosen: { value: plain("#5b3fd6") },
      depths: { value: new Vector2(-1, 1) },
    },
  });
}

/**
 * Draws nothing, but hides what lies behind the surface. It stands a little inside of it: the outlines, which follow
 * smoothed normals, would else be covered by the very surface they bound.
 */
export function hidingMaterial(): ShaderMaterial {
  return new ShaderMaterial({
    side: DoubleSide,
    colorWrite: false,
    vertexShader: /* glsl */ `
      void main() {
        gl_Position = projectionMatrix * modelViewMatrix * vec4(position - 0.35 * normal, 1.0);
      }
    `,
    fragmentShader: /* glsl */ `
      void main() {
        gl_FragColor = vec4(1.0);
      }
    `,
  });
}
