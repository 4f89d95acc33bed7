import { serveTasks } from "../../dist/jobs/threads.js";
import { runRecordTask } from "./record-task.mjs";

serveTasks(runRecordTask);
