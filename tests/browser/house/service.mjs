// Starts the built service on a fresh demo club, and stops it.

import { execFile, spawn } from "node:child_process";
import { mkdtemp, readFile, rm } from "node:fs/promises";
import { existsSync } from "node:fs";
import { tmpdir } from "node:os";
import path from "node:path";
import { fileURLToPath } from "node:url";
import { promisify } from "node:util";

export const repository = path.resolve(path.dirname(fileURLToPath(import.meta.url)), "../../..");

/** The day on which the demo club is looked at: a Friday with free and lent-out pieces. */
export const today = "2026-06-05";

const binary =
  process.env.BORROWED_LIGHT_BINARY ?? path.join(repository, "target/debug/borrowed-light");

/** A running demo: `base`, `account(role)`, `invitation(email, role)` and `stop()`. */
export async function startDemo() {
  if (!existsSync(binary)) {
    throw new Error(`${binary} is not there. Build it first: cargo build`);
  }
  const folder = await mkdtemp(path.join(tmpdir(), "borrowed-light-"));
  const data = path.join(folder, "data");
  const child = spawn(
    binary,
    ["demo", "--listen", "127.0.0.1:0", "--data", data, "--today", today],
    { stdio: ["ignore", "pipe", "pipe"] },
  );
  let said = "";
  for (const stream of [child.stdout, child.stderr]) {
    stream.on("data", (text) => (said += text));
  }
  const ended = new Promise((resolve) => child.once("exit", resolve));
  const stop = async () => {
    child.kill("SIGTERM");
    const status = await ended;
    await rm(folder, { recursive: true, force: true });
    return status;
  };
  try {
    const access = await whenReady(data, ended, () => said);
    const base = access.base_url.replace(/\/$/, "");
    return {
      base,
      account: (role) => {
        const found = access.accounts.find((account) => account.role === role);
        if (!found) throw new Error(`the demo has no account with the role ${role}`);
        return found;
      },
      // A link as the club's keeper would print it, for somebody new.
      invitation: async (email, role) => {
        const who = ["--email", email, "--role", role, "--name", "Newcomer"];
        const where = ["--data", data, "--public-url", base];
        const printed = await promisify(execFile)(binary, ["account", "invite", ...who, ...where]);
        return printed.stdout.trim();
      },
      stop,
    };
  } catch (fault) {
    await stop();
    throw fault;
  }
}

/** Waits for the sign-ins on disk and for the database to answer. */
async function whenReady(data, ended, said) {
  const file = path.join(data, "demo-access.json");
  let over = false;
  ended.then(() => (over = true));
  const deadline = Date.now() + 60_000;
  while (Date.now() < deadline && !over) {
    try {
      const access = JSON.parse(await readFile(file, "utf8"));
      const answer = await fetch(new URL("/readyz", access.base_url));
      if (answer.ok) return access;
    } catch {
      // Not yet.
    }
    await new Promise((resolve) => setTimeout(resolve, 50));
  }
  throw new Error(`the demo did not become ready; it said:\n${said()}`);
}
