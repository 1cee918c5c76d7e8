"""The measured figures as Markdown tables."""

from __future__ import annotations

#: Goals: how many times faster than quadratic elements, all properties beside J alone, the
#: command's cost.
QUADRATIC_RATIO, ALL_RATIO = 30.0, 2.5
HELP_SECONDS, SECTION_SECONDS, SOLVE_SECONDS, PEAK_MB = 0.3, 1.2, 0.1, 250.0


def best(result: dict) -> float:
    """Best of the repeats, in milliseconds."""
    return 1e3 * min(result["seconds"])


def milliseconds(result: dict) -> str:
    """Best time, marked when it was extrapolated and not run."""
    mark = " (extrapolated)" if result.get("extrapolated") else ""
    return f"{best(result):.1f}{mark}"


def verdict(met: bool) -> str:
    """Word for a goal."""
    return "met" if met else "**missed**"


def tables(data: dict) -> str:
    """All tables and the lines about machine and goals."""
    parts = [heading(data), times(data), "", ratios(data), "", reached(data), "", command(data)]
    return "\n".join(parts)


def heading(data: dict) -> str:
    """Machine and versions."""
    m = data["machine"]
    versions = ", ".join(f"{name} {v}" for name, v in data["versions"].items())
    return (
        f"Measured on: {m['processor']}, {m['cores']} cores (one thread used), {m['system']}; "
        f"{versions}.\n\n"
        f"Milliseconds to a guaranteed relative width of {data['width']:g} of J's interval:\n"
    )


def times(data: dict) -> str:
    """Times of all contenders."""
    rows = [
        "| section | J | all properties | NGSolve, tuned to the section | NGSolve, one recipe "
        "| quadratic |",
        "| --- | ---: | ---: | ---: | ---: | ---: |",
    ]
    names = ("ours_j", "ours_all", "ngsolve_tuned", "ngsolve_recipe", "quadratic")
    for key, r in data["sections"].items():
        rows.append(f"| {key} | " + " | ".join(milliseconds(r[n]) for n in names) + " |")
    return "\n".join(rows)


def ratios(data: dict) -> str:
    """Times as ratios to ours, with the goals."""
    rows = [
        "As ratios (above 1: ours is faster; the last is our own cost of all properties):\n",
        f"| section | quadratic / J (goal {QUADRATIC_RATIO:g}) | NGSolve tuned / J (goal 1) "
        f"| NGSolve recipe / J (goal 1) | all properties / J (goal {ALL_RATIO:g} at most) |",
        "| --- | ---: | ---: | ---: | ---: |",
    ]
    for key, r in data["sections"].items():
        j = best(r["ours_j"])
        quick, tuned, recipe = (
            best(r[n]) / j for n in ("quadratic", "ngsolve_tuned", "ngsolve_recipe")
        )
        everything = best(r["ours_all"]) / j
        rows.append(
            f"| {key} | {quick:.1f} {verdict(quick >= QUADRATIC_RATIO)} "
            f"| {tuned:.2f} {verdict(tuned >= 1)} | {recipe:.2f} {verdict(recipe >= 1)} "
            f"| {everything:.2f} {verdict(everything <= ALL_RATIO)} |"
        )
    return "\n".join(rows)


def reached(data: dict) -> str:
    """Widths and unknowns, and whether every interval holds the reference value."""
    names = ("ours_j", "ngsolve_tuned", "ngsolve_recipe", "quadratic")
    rows = [
        "Relative width reached, and unknowns of the two systems together:\n",
        "| section | ours | NGSolve, tuned | NGSolve, recipe | quadratic |",
        "| --- | ---: | ---: | ---: | ---: |",
    ]
    outside = []
    for key, r in data["sections"].items():
        cells = (f"{r[n]['width']:.1e}, {r[n]['unknowns']:,}" for n in names)
        rows.append(f"| {key} | " + " | ".join(cells) + " |")
        outside += [f"{n} on {key}" for n in r if not r[n].get("holds_reference")]
    wide = [
        f"{n} on {key}"
        for key, r in data["sections"].items()
        for n in r
        if r[n]["width"] > data["width"]
    ]
    if wide:
        rows += ["", f"**Wider than asked: {', '.join(wide)}.**"]
    rows.append("")
    rows.append(
        f"Intervals that miss the reference value: {', '.join(outside)}."
        if outside
        else "Every interval holds the reference value of `tests/data/reference_sections.json`."
    )
    rows.append(
        "Ours counts only the unknowns of the factorised systems (bubbles are condensed); the "
        "libraries' count includes them."
    )
    return "\n".join(rows)


def command(data: dict) -> str:
    """The command as a process."""
    c = data["command"]
    goals = (
        ("`soapfilm --help`, seconds", c["help_seconds"], HELP_SECONDS, "{:.2f}"),
        (
            "`soapfilm section` on the I, whole process, seconds",
            c["section_seconds"],
            SECTION_SECONDS,
            "{:.2f}",
        ),
        (
            "of which solving (default accuracy, all properties), seconds",
            c["solve_seconds"],
            SOLVE_SECONDS,
            "{:.3f}",
        ),
        ("peak memory of that process, MB", c["section_peak"], PEAK_MB, "{:.0f}"),
    )
    rows = [
        "The command, warm, best of seven:\n",
        "| measure | found | goal | |",
        "| --- | ---: | ---: | --- |",
    ]
    rows += [f"| {n} | {f.format(v)} | {g:g} | {verdict(v <= g)} |" for n, v, g, f in goals]
    rows.append(
        "\nThese are wall-clock times of a machine that others may use at the same time; the "
        f"section command's processor time is {c['section_processor']:.2f} s. Imports, most of "
        "it, come before solving."
    )
    return "\n".join(rows)
