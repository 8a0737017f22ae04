"""Refugio Marea Alta: one semicolon CSV in Windows-1252, decimal commas, 3.2.2021, words in Spanish, a totals row."""

import csv

from maker.clinics.writer import Writer, headings

FILMS, TREATMENTS, LEADS = 8, 5, 3
FIRST_COLUMNS = headings(
    "Ficha|Entrada|Hallado|Especie|Sexo|Edad|Peso (kg)|Condición|Prioridad|Lugar|Latitud|Longitud|Precisión (m)|"
    "Aviso: nombre|Aviso: teléfono|Aviso: correo|Aviso: dirección|Causa|Aparejo|Lesión|Tipo de anzuelo|Tamaño anzuelo|"
    "Muerte (arpón)|Resistencia (kg)|Largo del sedal (m)|Zona|Sedal colgando|Plomo|Gravedad|Antigüedad|Llegada"
)
LAST_COLUMNS = headings(
    "Empeora el|Desenlace|Fecha desenlace|Motivo eutanasia|Destino del aparejo|Suelto con aparejo|Trasladado a|"
    "Centro de origen|Ficha de origen|Anilla|Lugar de suelta|Visto de nuevo|Observaciones"
)
TREATMENT_COLUMNS = headings(
    "Tratamiento|Trat. fecha|Trat. motivo|Trat. anestesia|Trat. resultado|Trat. complicación"
)


def columns():
    films = [f"{what} {n}" for n in range(1, FILMS + 1) for what in ("Rx fecha", "Rx")]
    leads = [f"{what} {n}" for n in range(1, LEADS + 1) for what in ("Plomo fecha", "Plomo µg/dL")]
    treatments = [f"{what} {n}" for n in range(1, TREATMENTS + 1) for what in TREATMENT_COLUMNS]
    return FIRST_COLUMNS + films + leads + treatments + LAST_COLUMNS


def comma(number, digits):
    return f"{number:.{digits}f}".replace(".", ",")


class MareaAlta(Writer):
    clinic = "marea_alta"

    def __init__(self, folder):
        super().__init__(folder)
        self.rows = 0
        self.file = self.create("fichas_marea_alta.csv", encoding="windows-1252")
        self.csv = csv.DictWriter(self.file, columns(), delimiter=";", lineterminator="\r\n", restval="")
        self.csv.writeheader()

    def date(self, day):
        return "" if day is None else f"{day.day}.{day.month}.{day.year}"

    def write(self, case, stay):
        row = self.arrival(case, stay) | self.gear(case, stay) | self.care(case, stay) | self.end(case, stay)
        times = 1 + self.dirt.strikes("repeated_row", stay.number)
        for _ in range(times):
            self.csv.writerow(row)
        self.rows += times

    def arrival(self, case, stay):
        f, finder, number = case.features, self.finder(), stay.number
        latitude, longitude = self.point(case, number)
        found = self.date(case.date(-f["found_before"]))
        if self.dirt.strikes("impossible_found_date", number):
            found = f"31.2.{case.admitted.year}"
        return {
            "Ficha": number,
            "Entrada": self.date(case.date(stay.from_day)),
            "Hallado": found,
            "Especie": self.species(case, number),
            "Sexo": self.say("sex", f["sex"]),
            "Edad": self.say("life_stage", f["life_stage"]),
            "Peso (kg)": comma(self.mass_g(case, number) / 1000, 3),
            "Condición": self.say("body_condition", f["body_condition"]),
            "Prioridad": f["triage_score"],
            "Lugar": case.place["place"],
            "Latitud": comma(latitude, 5),
            "Longitud": comma(longitude, 5),
            "Precisión (m)": f["radius_m"],
            "Aviso: nombre": finder.name,
            "Aviso: teléfono": finder.phone,
            "Aviso: correo": finder.email,
            "Aviso: dirección": finder.address,
            "Causa": self.say("cause", f["cause"]),
            "Gravedad": self.severity(case, number),
            "Llegada": self.say("arrival", f["arrival"]),
        }

    def gear(self, case, stay):
        if not case.is_tackle():
            return {}
        f, item = case.features, case.gear_items[0]
        return {
            "Aparejo": self.say("gear", item.gear),
            "Lesión": self.say("injury", item.injury),
            "Tipo de anzuelo": self.say("hook_kind", item.hook_kind),
            "Tamaño anzuelo": item.hook_size,
            "Muerte (arpón)": self.say("barb", item.barb),
            "Resistencia (kg)": item.line_strength,
            "Largo del sedal (m)": comma(float(item.line_length), 2) if item.line_length else "",
            "Zona": self.body_site(case, stay.number),
            "Sedal colgando": self.say("yes_no", item.line_trailing),
            "Plomo": self.say("yes_no", item.lead),
            "Antigüedad": self.say("injury_age", f["injury_age"]),
        }

    def care(self, case, stay):
        row = {}
        seen = case.during(stay, case.findings)
        films = [f for f in seen if f.code in ("gear_in_place", "gear_unmoved", "gear_moved", "gear_passed")]
        for n, film in enumerate(films[:FILMS], 1):
            row |= {
                f"Rx fecha {n}": self.date(case.date(film.day)),
                f"Rx {n}": self.say("finding", film.code),
            }
        for n, lead in enumerate([f for f in seen if f.code == "lead_level"][:LEADS], 1):
            row |= {f"Plomo fecha {n}": self.date(case.date(lead.day)), f"Plomo µg/dL {n}": lead.value}
        done = [
            p for p in case.during(stay, case.procedures) if p.code not in ("radiograph", "blood_lead_test")
        ]
        for n, procedure in enumerate(self.fitting(done), 1):
            row |= {f"{name} {n}": value for name, value in self.treatment(case, procedure).items()}
        worse = [f.day for f in seen if f.code == "worse"]
        return row | {"Empeora el": self.date(case.date(worse[0])) if worse else ""}

    def fitting(self, done):
        """The form has room for five treatments: attempts and watching come first, support fills what is left."""
        weighty = [p for p in done if p.result or p.code == "watch"]
        support = [p for p in done if p not in weighty][: max(0, TREATMENTS - len(weighty))]
        return sorted(weighty[:TREATMENTS] + support, key=lambda procedure: procedure.day)

    def treatment(self, case, procedure):
        values = [
            self.say("procedure", procedure.code),
            self.date(case.date(procedure.day)),
            self.say("procedure_reason", procedure.reason),
            self.say("anaesthesia", procedure.anaesthesia),
            self.say("procedure_result", procedure.result),
            self.say("complication", procedure.complication),
        ]
        return dict(zip(TREATMENT_COLUMNS, values, strict=True))

    def end(self, case, stay):
        outcome, left = self.ending(case, stay)
        centre, number = self.came_from(case, stay)
        is_last = stay.goes_to is None and left is not None
        home = is_last and case.outcome.startswith("released")
        return {
            "Desenlace": self.say("outcome", outcome),
            "Fecha desenlace": self.date(self.outcome_date(left, stay.number)),
            "Motivo eutanasia": self.say("euthanasia_reason", case.reason) if is_last else "",
            "Destino del aparejo": self.say("gear_fate", case.gear_items[0].fate)
            if is_last and case.gear_items
            else "",
            "Suelto con aparejo": self.say("yes_no", case.gear_at_release) if home else "",
            "Trasladado a": self.transferred_to(case, stay) if outcome == "transferred_out" else "",
            "Centro de origen": centre,
            "Ficha de origen": number,
            "Anilla": case.band,
            "Lugar de suelta": case.place["place"] if home else "",
            "Visto de nuevo": self.date(case.date(case.seen_again_day)) if home else "",
            "Observaciones": self.note(case),
        }

    def note(self, case):
        if self.choose.chance(0.06):
            finder = self.finder()
            return f"Llamar a {finder.name}, {finder.phone}, cuando se suelte."
        if case.is_tackle() and case.features["line"]:
            return "Trae sedal colgando; ½ pastilla de analgésico."
        return ""

    def close(self):
        self.csv.writerow({"Ficha": "Total", "Entrada": f"{self.rows} fichas"})
        self.dirt.add("totals_row", "Total")
        self.file.close()
