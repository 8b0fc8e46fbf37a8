// Preact and its template syntax, tied together once.
import { h, render, Fragment } from "./vendor/preact.mjs";
import htm from "./vendor/htm.mjs";
export const html = htm.bind(h);
export { render, Fragment };
export { useState, useEffect, useLayoutEffect, useRef, useMemo, useCallback, useContext } from "./vendor/hooks.mjs";
export { createContext } from "./vendor/preact.mjs";
