import type { PlanWords } from "../../service/plan/plan-data.js";
import type * as made from "../../service/plan/types.js";

/** A plan with its words, as it is printed; see `word-plan.ts`. */
export type WordedPlan = made.Plan<PlanWords>;
export type WordedPlanItem = made.PlanItem<PlanWords>;
export type WordedPlanStrip = made.PlanStrip<PlanWords>;
export type WordedPlanPlace = made.PlanPlace<PlanWords>;
export type WordedOutsideItem = made.OutsideItem<PlanWords>;
