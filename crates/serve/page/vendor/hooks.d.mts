// What the page uses of preact's hooks, for the check of types only.
type Set<T> = (value: T | ((was: T) => T)) => void;
export function useState<T = any>(first: T | (() => T)): [T, Set<T>];
export function useRef<T = any>(first: T): { current: T };
export function useEffect(effect: () => void | (() => void), inputs?: any[]): void;
export function useLayoutEffect(effect: () => void | (() => void), inputs?: any[]): void;
export function useMemo<T>(make: () => T, inputs?: any[]): T;
export function useCallback<F>(made: F, inputs?: any[]): F;
export const useContext: any;
