// Colours as they will stand to each other: the share of light each reflects, and the ratio of contrast.

/** Linear light of an sRGB part, 0 to 1 (IEC 61966-2-1). */
const linear = (byte) => { const c = byte / 255; return c <= 0.04045 ? c / 12.92 : ((c + 0.055) / 1.055) ** 2.4; };

/** Share of light a colour reflects; NaN if it is none. @param {string} hex #rrggbb */
export function reflects(hex) {
  const m = /^#([0-9a-f]{2})([0-9a-f]{2})([0-9a-f]{2})$/i.exec(hex || "");
  return m ? 0.2126 * linear(parseInt(m[1], 16)) + 0.7152 * linear(parseInt(m[2], 16)) + 0.0722 * linear(parseInt(m[3], 16)) : NaN;
}

/** Contrast ratio of two colours as the Web Content Accessibility Guidelines 2.1 define it; NaN if one is none. */
export function contrast(a, b) {
  const [x, y] = [reflects(a), reflects(b)].sort((p, q) => q - p);
  return (x + 0.05) / (y + 0.05);
}
