//! The settings, values and kinds as they are written.
//!
//! Enters: engine values. Leaves: serde structs, and back.
//! Always true: words, not numbers, stand for choices, so that files can be read by people and by later
//! versions; unknown fields are passed over, fields that came later have defaults.
//! Never: changes meaning between versions; a changed meaning gets a new name.

use serde::{Deserialize, Serialize};

use super::check_ways_form::{CheckWaysForm, check_ways_form, check_ways_from};
use crate::import::plan::{
    AgeUnit, DateOrder, DayCount, ImportPlan, PlannedColumn, Repeated, Rules, Target,
};
use crate::sheet::codes;
use crate::sheet::column::{Kind, Value};
use crate::sheet::day::Day;
use crate::sheet::schema::SheetKind;
use crate::sheet::settings::{OutsideWindow, SeasonStart, Settings, WeightUnit};
use crate::trade::factors::{DamAgeClass, FactorTable};

/// A cell's value: `null`, `{"t":"text"}`, `{"n":512.5}`, `{"d":"2026-03-14"}` or `{"u":"as read"}`.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub enum ValueForm {
    /// Text, a list, or the key of a code.
    #[serde(rename = "t")]
    Text(String),
    /// A finite number.
    #[serde(rename = "n")]
    Number(f64),
    /// A number that JSON cannot say.
    #[serde(rename = "huge")]
    Huge(String),
    /// A date, ISO 8601.
    #[serde(rename = "d")]
    Day(String),
    /// Text that was not understood.
    #[serde(rename = "u")]
    Unreadable(String),
}

/// A value as it is written; `None` is missing.
pub fn value_form(value: &Value) -> Option<ValueForm> {
    match value {
        Value::Missing => None,
        Value::Text(text) => Some(ValueForm::Text(text.clone())),
        Value::Number(number) if number.is_nan() => None,
        Value::Number(number) if number.is_finite() => Some(ValueForm::Number(*number)),
        Value::Number(number) => Some(ValueForm::Huge(number.to_string())),
        Value::Day(day) => Some(ValueForm::Day(day.iso())),
        Value::Unreadable(text) => Some(ValueForm::Unreadable(text.clone())),
    }
}

/// The value that was written; `None` when it is not one.
pub fn value_from(form: Option<ValueForm>) -> Option<Value> {
    Some(match form {
        None => Value::Missing,
        Some(ValueForm::Text(text)) => Value::Text(text),
        Some(ValueForm::Number(number)) => Value::Number(number),
        Some(ValueForm::Huge(text)) => Value::Number(text.parse().ok()?),
        Some(ValueForm::Day(text)) => Value::Day(day_from(&text)?),
        Some(ValueForm::Unreadable(text)) => Value::Unreadable(text),
    })
}

/// The date of `2026-03-14`; `None` for anything else.
pub fn day_from(text: &str) -> Option<Day> {
    let bytes = text.as_bytes();
    if bytes.len() != 10 || bytes[4] != b'-' || bytes[7] != b'-' {
        return None;
    }
    let number = |from: usize, to: usize| -> Option<u32> {
        bytes[from..to].iter().try_fold(0_u32, |number, byte| {
            byte.is_ascii_digit()
                .then(|| number * 10 + u32::from(byte - b'0'))
        })
    };
    let year = i32::try_from(number(0, 4)?).ok()?;
    Day::from_ymd(year, number(5, 7)?, number(8, 10)?)
}

/// Code lists by the name they are saved under.
static CODE_LISTS: [(&str, &codes::Codes); 11] = [
    ("sex", &codes::SEX),
    ("born_as", &codes::BORN_AS),
    ("raised_by", &codes::RAISED_BY),
    ("yes_no", &codes::YES_NO),
    ("left_because", &codes::LEFT_BECAUSE),
    ("age_from", &codes::AGE_FROM),
    ("came_as", &codes::CAME_AS),
    ("service", &codes::SERVICE),
    ("result", &codes::RESULT),
    ("stage_unit", &codes::STAGE_UNIT),
    ("place_kind", &codes::PLACE_KIND),
];

/// The word for a kind: `text`, `list`, `weight`, `number`, `date`, `code:sex`.
pub fn kind_word(kind: Kind) -> String {
    match kind {
        Kind::Text => "text".to_owned(),
        Kind::List => "list".to_owned(),
        Kind::Weight => "weight".to_owned(),
        Kind::Number(_) => "number".to_owned(),
        Kind::Date => "date".to_owned(),
        Kind::Code(codes) => CODE_LISTS
            .iter()
            .find(|(_, list)| std::ptr::eq(*list, codes))
            .map_or_else(|| "text".to_owned(), |(name, _)| format!("code:{name}")),
    }
}

/// The kind of a word. Units of numbers belong to known columns, which bring their own kind.
pub fn kind_from(word: &str) -> Option<Kind> {
    Some(match word {
        "text" => Kind::Text,
        "list" => Kind::List,
        "weight" => Kind::Weight,
        "number" => Kind::Number(""),
        "date" => Kind::Date,
        _ => {
            let name = word.strip_prefix("code:")?;
            let (_, codes) = CODE_LISTS.iter().find(|(list, _)| *list == name)?;
            Kind::Code(codes)
        }
    })
}

/// Settings as they are written.
#[derive(Clone, Debug, Serialize, Deserialize)]
#[serde(default)]
pub struct SettingsFormat {
    title: String,
    weight_unit: String,
    as_of: String,
    window_from_days: i32,
    window_to_days: i32,
    outside_window: String,
    standard_age_days: i32,
    standard_birth_weight_male_lb: f64,
    standard_birth_weight_female_lb: f64,
    factors: FactorsFormat,
    weighed_after_weaning_days: i32,
    birth_window_days: i32,
    weigh_window_days: i32,
    seasons: Vec<SeasonFormat>,
    confidence: f64,
}

#[derive(Clone, Debug, Serialize, Deserialize)]
struct SeasonFormat {
    name: String,
    month: u32,
    day: u32,
}

#[derive(Clone, Debug, Serialize, Deserialize)]
struct FactorsFormat {
    key: String,
    name: String,
    source: String,
    classes: Vec<ClassFormat>,
}

#[derive(Clone, Debug, Serialize, Deserialize)]
struct ClassFormat {
    name: String,
    from_days: i32,
    /// `null` when open.
    to_days: Option<i32>,
    birth_lb: f64,
    weaning_male_lb: f64,
    weaning_female_lb: f64,
}

impl Default for SettingsFormat {
    fn default() -> SettingsFormat {
        settings_form(&Settings::default())
    }
}

/// The symbol of a unit back to the unit.
pub fn unit_from(symbol: &str) -> Option<WeightUnit> {
    [WeightUnit::Pound, WeightUnit::Kilogram]
        .into_iter()
        .find(|unit| unit.symbol() == symbol)
}

/// Settings as they are written.
pub fn settings_form(settings: &Settings) -> SettingsFormat {
    SettingsFormat {
        title: settings.title.clone(),
        weight_unit: settings.weight_unit.symbol().to_owned(),
        as_of: settings.as_of.iso(),
        window_from_days: settings.window_from_days,
        window_to_days: settings.window_to_days,
        outside_window: match settings.outside_window {
            OutsideWindow::ActualOnly => "actual_only",
            OutsideWindow::StraightAge => "straight_age",
        }
        .to_owned(),
        standard_age_days: settings.standard_age_days,
        standard_birth_weight_male_lb: settings.standard_birth_weight_male_lb,
        standard_birth_weight_female_lb: settings.standard_birth_weight_female_lb,
        factors: FactorsFormat {
            key: settings.factors.key.clone(),
            name: settings.factors.name.clone(),
            source: settings.factors.source.clone(),
            classes: settings
                .factors
                .classes
                .iter()
                .map(|class| ClassFormat {
                    name: class.name.clone(),
                    from_days: class.from_days,
                    to_days: (class.to_days != i32::MAX).then_some(class.to_days),
                    birth_lb: class.birth_lb,
                    weaning_male_lb: class.weaning_male_lb,
                    weaning_female_lb: class.weaning_female_lb,
                })
                .collect(),
        },
        weighed_after_weaning_days: settings.weighed_after_weaning_days,
        birth_window_days: settings.birth_window_days,
        weigh_window_days: settings.weigh_window_days,
        seasons: settings
            .seasons
            .iter()
            .map(|season| SeasonFormat {
                name: season.name.clone(),
                month: season.month,
                day: season.day,
            })
            .collect(),
        confidence: settings.confidence,
    }
}

/// The settings that were written; `None` when a word in them is not known. Whether they are sound is for
/// `sheet::settings_rules`.
pub fn settings_from(form: SettingsFormat) -> Option<Settings> {
    Some(Settings {
        title: form.title,
        weight_unit: unit_from(&form.weight_unit)?,
        as_of: match form.as_of.as_str() {
            "" => Day::MISSING,
            text => day_from(text)?,
        },
        window_from_days: form.window_from_days,
        window_to_days: form.window_to_days,
        outside_window: match form.outside_window.as_str() {
            "actual_only" => OutsideWindow::ActualOnly,
            "straight_age" => OutsideWindow::StraightAge,
            _ => return None,
        },
        standard_age_days: form.standard_age_days,
        standard_birth_weight_male_lb: form.standard_birth_weight_male_lb,
        standard_birth_weight_female_lb: form.standard_birth_weight_female_lb,
        factors: FactorTable {
            key: form.factors.key,
            name: form.factors.name,
            source: form.factors.source,
            classes: form
                .factors
                .classes
                .into_iter()
                .map(|class| DamAgeClass {
                    name: class.name,
                    from_days: class.from_days,
                    to_days: class.to_days.unwrap_or(i32::MAX),
                    birth_lb: class.birth_lb,
                    weaning_male_lb: class.weaning_male_lb,
                    weaning_female_lb: class.weaning_female_lb,
                })
                .collect(),
        },
        weighed_after_weaning_days: form.weighed_after_weaning_days,
        birth_window_days: form.birth_window_days,
        weigh_window_days: form.weigh_window_days,
        seasons: form
            .seasons
            .into_iter()
            .map(|season| SeasonStart {
                name: season.name,
                month: season.month,
                day: season.day,
            })
            .collect(),
        confidence: form.confidence,
    })
}

/// How a file was read, as it is written.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct PlanForm {
    sheet: String,
    delimiter: char,
    header_line: u32,
    decimal_comma: bool,
    date_order: Option<String>,
    two_digit_year_to: u8,
    /// Key in the list of sexes.
    male_means: Option<String>,
    weight_unit: String,
    columns: Vec<PlannedColumnForm>,
    /// Plans from before there was a choice kept every row.
    #[serde(default = "yes")]
    keep_summary_rows: bool,
    /// `1900`, `1904` or `not_dates`.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    day_count: Option<String>,
    /// Rules of reading it was made under; plans from before there were others have none.
    #[serde(default = "first")]
    rules: u32,
    /// `first` or `last`; none when all come in.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    repeated: Option<String>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    checks: Option<CheckWaysForm>,
}

fn first() -> u32 {
    1
}

fn yes() -> bool {
    true
}

#[derive(Clone, Debug, Serialize, Deserialize)]
struct PlannedColumnForm {
    header: String,
    /// `known:birth_weight`, `own`, `leave_out`, `calving_month` or `due_day`.
    target: String,
    #[serde(default)]
    because: String,
    weight_unit: Option<String>,
    age_unit: String,
}

/// A plan as it is written.
pub fn plan_form(plan: &ImportPlan) -> PlanForm {
    PlanForm {
        sheet: plan.sheet.key().to_owned(),
        delimiter: char::from(plan.delimiter),
        header_line: plan.header_line,
        decimal_comma: plan.decimal_comma,
        date_order: plan.date_order.map(|order| {
            match order {
                DateOrder::MonthFirst => "month_first",
                DateOrder::DayFirst => "day_first",
            }
            .to_owned()
        }),
        two_digit_year_to: plan.two_digit_year_to,
        male_means: plan
            .male_means
            .and_then(|position| codes::SEX.key(position))
            .map(str::to_owned),
        weight_unit: plan.weight_unit.symbol().to_owned(),
        keep_summary_rows: plan.keep_summary_rows,
        day_count: plan.day_count.map(|count| {
            match count {
                DayCount::From1900 => "1900",
                DayCount::From1904 => "1904",
                DayCount::NotDates => "not_dates",
            }
            .to_owned()
        }),
        rules: match plan.rules {
            Rules::First => 1,
            Rules::Second => 2,
            Rules::Third => 3,
            Rules::Fourth => 4,
        },
        repeated: match plan.repeated {
            Repeated::All => None,
            Repeated::First => Some("first".to_owned()),
            Repeated::Last => Some("last".to_owned()),
        },
        checks: check_ways_form(&plan.checks),
        columns: plan
            .columns
            .iter()
            .map(|column| PlannedColumnForm {
                header: column.header.clone(),
                target: match &column.target {
                    Target::Known(key) => format!("known:{key}"),
                    Target::Own => "own".to_owned(),
                    Target::LeaveOut => "leave_out".to_owned(),
                    Target::CalvingMonth => "calving_month".to_owned(),
                    Target::DueDay => "due_day".to_owned(),
                },
                because: column.because.clone(),
                weight_unit: column.weight_unit.map(|unit| unit.symbol().to_owned()),
                age_unit: match column.age_unit {
                    AgeUnit::Years => "years",
                    AgeUnit::Months => "months",
                    AgeUnit::Days => "days",
                }
                .to_owned(),
            })
            .collect(),
    }
}

/// The plan that was written; `None` when a word in it is not known.
pub fn plan_from(form: PlanForm) -> Option<ImportPlan> {
    Some(ImportPlan {
        sheet: SheetKind::from_key(&form.sheet)?,
        delimiter: u8::try_from(form.delimiter).ok()?,
        header_line: form.header_line,
        decimal_comma: form.decimal_comma,
        date_order: match form.date_order.as_deref() {
            None => None,
            Some("month_first") => Some(DateOrder::MonthFirst),
            Some("day_first") => Some(DateOrder::DayFirst),
            Some(_) => return None,
        },
        two_digit_year_to: form.two_digit_year_to,
        male_means: match form.male_means {
            None => None,
            Some(key) => Some(codes::SEX.position(&key)?),
        },
        weight_unit: unit_from(&form.weight_unit)?,
        columns: form
            .columns
            .into_iter()
            .map(|column| {
                Some(PlannedColumn {
                    target: match column.target.as_str() {
                        "own" => Target::Own,
                        "leave_out" => Target::LeaveOut,
                        "calving_month" => Target::CalvingMonth,
                        "due_day" => Target::DueDay,
                        target => Target::Known(target.strip_prefix("known:")?.to_owned()),
                    },
                    header: column.header,
                    because: column.because,
                    weight_unit: match column.weight_unit {
                        None => None,
                        Some(symbol) => Some(unit_from(&symbol)?),
                    },
                    age_unit: match column.age_unit.as_str() {
                        "years" => AgeUnit::Years,
                        "months" => AgeUnit::Months,
                        "days" => AgeUnit::Days,
                        _ => return None,
                    },
                })
            })
            .collect::<Option<Vec<_>>>()?,
        keep_summary_rows: form.keep_summary_rows,
        day_count: match form.day_count.as_deref() {
            None => None,
            Some("1900") => Some(DayCount::From1900),
            Some("1904") => Some(DayCount::From1904),
            Some("not_dates") => Some(DayCount::NotDates),
            Some(_) => return None,
        },
        rules: match form.rules {
            1 => Rules::First,
            2 => Rules::Second,
            3 => Rules::Third,
            4 => Rules::Fourth,
            _ => return None,
        },
        repeated: match form.repeated.as_deref() {
            None => Repeated::All,
            Some("first") => Repeated::First,
            Some("last") => Repeated::Last,
            Some(_) => return None,
        },
        checks: check_ways_from(form.checks)?,
        answered: Vec::new(),
    })
}
