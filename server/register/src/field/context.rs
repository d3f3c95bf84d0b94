//! The columns of a context register.
use super::Shape::*;
use super::{Field, Spec, required, spec, spec_in};

domain::text_enum! {
    /// What a column of a context register means.
    ContextField, "field of a context" {
        Number = "number", "Context number";
        Kind = "kind", "Kind";
        Area = "area", "Area";
        Phase = "phase", "Phase";
        Interpretation = "interpretation", "Interpretation";
        Description = "description", "Description";
        Soil = "soil", "Soil";
        SpotDate = "spot_date", "Spot date";
        Above = "above", "Lies above";
        Below = "below", "Lies below";
        Cuts = "cuts", "Cuts";
        CutBy = "cut_by", "Cut by";
        SameAs = "same_as", "Same as";
    }
}

impl Field for ContextField {
    const KIND: super::Kind = super::Kind::Contexts;
    const NUMBER: Self = ContextField::Number;

    fn all() -> &'static [Self] {
        ContextField::ALL
    }
    fn code(self) -> &'static str {
        ContextField::code(self)
    }
    fn label(self) -> &'static str {
        ContextField::label(self)
    }
    fn spec(self) -> &'static Spec {
        spec_in(SPECS, self)
    }
}

use ContextField as C;

const SPECS: &[(ContextField, Spec)] = &[
    (
        C::Number,
        required(
            Identifier,
            "Names the context; unique in the project. Brackets around it are left out.",
            "context,context no,context number,ctx,ctx no,cxt,cxt no,cont,cont no,con,con no,context \
             id,context ref,number,no,unit,unit no,su,su no,stratigraphic unit,locus,locus no,id",
        ),
    ),
    (
        C::Kind,
        spec(
            Words,
            "Layer, fill, cut, structure …",
            "kind,type,context type,category,class,layer cut fill,fill cut layer,cut fill layer,cut \
             or fill,type of context,unit type",
        ),
    ),
    (
        C::Area,
        spec(
            Words,
            "Area or trench.",
            "area,trench,site area,area trench,trench no,trench area,tr,sector,grid \
             square,square,zone",
        ),
    ),
    (
        C::Phase,
        spec(Words, "Phase of the site.", "phase,site phase,phase no,phasing,provisional phase,period"),
    ),
    (
        C::Interpretation,
        spec(
            Words,
            "What it is taken for.",
            "interpretation,interp,identity,feature,feature type,interpretive name,what is \
             it,group,structure",
        ),
    ),
    (
        C::Description,
        spec(
            Prose,
            "Several columns are joined.",
            "description,desc,descr,context \
             description,details,comments,comment,notes,note,remarks,short description,brief \
             description",
        ),
    ),
    (
        C::Soil,
        spec(
            Words,
            "Soil as described on site.",
            "soil,soil type,soil \
             description,deposit,composition,matrix,texture,colour,compaction,sediment",
        ),
    ),
    (
        C::SpotDate,
        spec(
            Words,
            "A quick date of the context, in words.",
            "spot date,spot dates,spotdate,date range,dating,date,pottery date,pot date,provisional \
             date",
        ),
    ),
    (
        C::Above,
        spec(
            Numbers,
            "Contexts directly under this one, which this one lies above. Commas or spaces between them.",
            "above,lies above,overlies,is above,seals,over,later than,is later than,strat \
             above,overlying",
        ),
    ),
    (
        C::Below,
        spec(
            Numbers,
            "Contexts directly over this one, which this one lies below. Commas or spaces between them.",
            "below,lies below,under,overlain by,is below,sealed by,earlier than,is earlier \
             than,beneath,strat below,underlies",
        ),
    ),
    (
        C::Cuts,
        spec(Numbers, "Contexts that this one cuts.", "cuts,cuts through,truncates,is cut into,cutting"),
    ),
    (C::CutBy, spec(Numbers, "Contexts that cut this one.", "cut by,is cut by,truncated by")),
    (
        C::SameAs,
        spec(
            Numbers,
            "Other numbers of the same context.",
            "same as,same,equals,equal to,equivalent to,is same as,equivalent",
        ),
    ),
];
