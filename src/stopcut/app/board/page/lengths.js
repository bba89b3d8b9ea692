// Lengths as the rest of the workshop writes them (units.py): mm to a tenth, inches as fractions to a thirty-second.

const MM_PER_INCH = 25.4;
const FINEST = 32;

export function length(mm, units = "mm") {
  return `${bare(mm, units)} ${units}`;
}

/** The same without its unit. */
export function bare(mm, units = "mm") {
  if (units === "mm") return tidy(mm);
  const steps = rounded((mm / MM_PER_INCH) * FINEST);
  const sign = steps < 0 ? "-" : "";
  const whole = Math.floor(Math.abs(steps) / FINEST), rest = Math.abs(steps) % FINEST;
  let [top, bottom] = [rest, FINEST];
  while (top && top % 2 === 0) [top, bottom] = [top / 2, bottom / 2];
  const fraction = rest ? `${top}/${bottom}` : "";
  return sign + [whole || !rest ? String(whole) : "", fraction].filter(Boolean).join(" ");
}

function tidy(mm) {
  // Only quarters can lie exactly between two tenths; those go to the even one, as the rest of the workshop has it.
  const tie = Number.isInteger(mm * 4) && !Number.isInteger(mm * 2);
  const text = (tie ? rounded(mm * 10) / 10 : mm).toFixed(1).replace(/\.0$/, "");
  return text === "-0" ? "0" : text;
}

function rounded(number) {
  const low = Math.floor(number);
  if (number - low !== 0.5) return Math.round(number);
  return low % 2 === 0 ? low : low + 1;
}
