// What the page uses of preact, for the check of types only.
export const h: any, render: any, Fragment: any, createContext: any;
