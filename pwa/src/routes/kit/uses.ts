/** What a disinfectant is for. */
export const USES = ["instruments", "surfaces", "both"] as const;
