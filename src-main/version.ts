/** The program's version, as in package.json (a test keeps them equal). */
export const APP_VERSION = '0.3.0';
