/**
 * In how many notes a word must be, how small weights are held, for how many rounds they are learned,
 * and the least weight that is kept, in tenths. Of dangers many small weights together say that there
 * is none, so that none of them is made nought.
 */
const common = { most: 2, ridge: 0.1, lasso: 0.2, rounds: 150, finest: 3 };
export const settings = {
  symptom: common,
  control: common,
  danger: { most: 2, ridge: 0.1, lasso: 0, rounds: 200, finest: 2 },
};
