/**
 * In how many notes a word must be, how small weights are held, for how many rounds they are learned,
 * and the least weight that is kept, in tenths. Many small weights together tell much, so no lasso makes
 * them nought: chosen by notes of which the writer's were left out.
 */
const common = { most: 2, ridge: 0.3, lasso: 0, rounds: 200, finest: 2 };
export const settings = {
  symptom: common,
  control: common,
  danger: { most: 2, ridge: 0.1, lasso: 0, rounds: 200, finest: 2 },
};
