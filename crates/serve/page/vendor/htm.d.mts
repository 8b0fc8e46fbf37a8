// What the page uses of htm, for the check of types only.
declare const htm: any;
export default htm;
