/** Long enough to outlast guessing without asking for odd characters. */
export const MIN_PASSWORD_LENGTH = 12;
export const MAX_PASSWORD_LENGTH = 256;
