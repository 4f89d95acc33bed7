import type { PlanWords } from "../../service/plan/plan-data.js";
import type * as made from "../../service/plan/types.js";

/** A plan with its words, as it is printed; see `word-plan.ts`. */
export type Plan = made.Plan<PlanWords>;
export type PlanItem = made.PlanItem<PlanWords>;
export type PlanStrip = made.PlanStrip<PlanWords>;
export type PlanPlace = made.PlanPlace<PlanWords>;
export type OutsideItem = made.OutsideItem<PlanWords>;
