/**
 * In how many notes a word must be, how small weights are held, and for how many rounds they are
 * learned. Dangers are few among many notes, and are held less.
 */
const common = { most: 2, ridge: 0.1, lasso: 0.2, rounds: 150 };
export const settings = {
  symptom: common,
  control: common,
  danger: { most: 2, ridge: 0.03, lasso: 0.08, rounds: 200 },
};
