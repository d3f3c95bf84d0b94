//! The columns of a finds register.
use super::Shape::{self, *};
use super::{Field, Kind, Spec, Unit, required, spec, spec_in};

domain::text_enum! {
    /// What a column of a finds register means.
    FindField, "field of a find" {
        Number = "number", "Find number";
        SubNumber = "sub_number", "Sub-number";
        Context = "context", "Context";
        Material = "material", "Material";
        ObjectType = "object_type", "Object";
        Description = "description", "Description";
        Basis = "registered_or_bulk", "Registered or bulk";
        Count = "count", "Count";
        WeightG = "weight_g", "Weight";
        Fragments = "fragments", "Fragments";
        RecoveredOn = "recovered_on", "Date recovered";
        RecoveredBy = "recovered_by", "Recovered by";
        RecoveryMethod = "recovery_method", "Recovery method";
        State = "state_on_recovery", "State on recovery";
        EastingM = "easting_m", "Easting";
        NorthingM = "northing_m", "Northing";
        HeightM = "height_m", "Height";
        SampleNumber = "sample_number", "Sample number";
        LengthMm = "length_mm", "Length";
        WidthMm = "width_mm", "Width";
        ThicknessMm = "thickness_mm", "Thickness";
        DiameterMm = "diameter_mm", "Diameter";
        Period = "period", "Period";
        CompletenessPct = "completeness_pct", "Completeness";
        ConditionNote = "condition_note", "Condition as found";
        AccessionNumber = "accession_number", "Accession number";
        Place = "place", "Place";
        Restricted = "restricted", "Restricted";
        Note = "note", "Note";
    }
}

impl Field for FindField {
    const KIND: Kind = Kind::Finds;
    const NUMBER: Self = FindField::Number;

    fn all() -> &'static [Self] {
        FindField::ALL
    }
    fn code(self) -> &'static str {
        FindField::code(self)
    }
    fn label(self) -> &'static str {
        FindField::label(self)
    }
    fn spec(self) -> &'static Spec {
        spec_in(SPECS, self)
    }
}

use FindField as F;

const SPECS: &[(FindField, Spec)] = &[
    (
        F::Number,
        required(
            Identifier,
            "Names the find; unique in the project. Leading zeros stay.",
            "find,find no,find number,finds no,finds number,find id,find ref,find reference,finds \
             ref,sf,sf no,sf number,sfn,small find,small find no,small find number,small finds \
             no,smallfind,reg find,reg find no,registered find,registered find no,registered find \
             number,rf,rf no,rfn,fn,f no,number,no,object no,object number,object id,special \
             find,special find no,special finds no,artefact no,artefact number,artifact no,artifact \
             number,item no,item number,bag no,bag number,unique no,unique id,id,record no,finds id",
        ),
    ),
    (
        F::SubNumber,
        spec(
            Identifier,
            "Put behind the find number with a stroke: 204/2.",
            "sub no,sub number,subnumber,sub,sub find,sub find no,suffix,part no,part number",
        ),
    ),
    (
        F::Context,
        spec(
            Identifier,
            "Where it was found. Brackets around the number are left out.",
            "context,context no,context number,contexts,ctx,ctx no,cxt,cxt no,cont,cont no,con,con \
             no,unit,unit no,stratigraphic unit,su,su no,locus,locus no,layer,layer no,feature \
             context,context id,context ref",
        ),
    ),
    (
        F::Material,
        spec(
            Words,
            "Each word is matched to a material group of the project.",
            "material,materials,mat,matl,mat l,material type,material code,material class,material \
             group,fabric material,mat code,mat type,made of",
        ),
    ),
    (
        F::ObjectType,
        spec(
            Words,
            "What it is now thought to be.",
            "object,object type,object name,obj,obj type,type,type of object,simple \
             name,identification,ident,id as,find type,artefact,artefact type,artifact,artifact \
             type,item,item type,name,category,class,what is it",
        ),
    ),
    (
        F::Description,
        spec(
            Prose,
            "Several columns are joined.",
            "description,desc,descr,find description,object description,full description,brief \
             description,short description,details,description of find",
        ),
    ),
    (
        F::Basis,
        spec(
            Shape::Basis,
            "“Registered” or “bulk”. Without it every find is registered singly.",
            "registered or bulk,bulk or registered,reg or bulk,bulk reg,reg bulk,bulk,registered,is \
             bulk,find class,register type,reg type,bulk find,bulk sf,sf bulk",
        ),
    ),
    (
        F::Count,
        spec(
            Whole,
            "How many. One when the cell is empty.",
            "count,qty,quantity,quant,no of items,no of objects,number of items,number of objects,no \
             of finds,number of finds,no items,no objects,pieces,pcs,no of pieces,number of \
             pieces,total,how many,amount,nos,item count,object count,sherds,no of sherds,sherd \
             count,ct,cnt,num",
        ),
    ),
    (
        F::WeightG,
        spec(
            Size(Unit::Gram),
            "In g unless the header or the cell says otherwise.",
            "weight,wt,wgt,weights,mass,total weight,weight total,tot wt,total wt",
        ),
    ),
    (
        F::Fragments,
        spec(
            Whole,
            "How many fragments.",
            "fragments,frags,frag,no of frags,no of fragments,number of fragments,no frags,no \
             fragments,frag no,frag count,fragment count,fragment no,frags no,number of frags",
        ),
    ),
    (
        F::RecoveredOn,
        spec(
            Day,
            "The day it was found.",
            "date,date found,date recovered,found on,recovered on,date of recovery,date \
             excavated,excavated on,date of find,find date,date lifted,recovery date,day found,date \
             exc,date of discovery,excavation date,dug on,date dug",
        ),
    ),
    (
        F::RecoveredBy,
        spec(
            Words,
            "Who found or lifted it.",
            "found by,finder,recovered by,excavated by,excavator,exc by,dug by,digger,lifted \
             by,collected by,by,initials,recorded by,recorder,name of finder,site assistant",
        ),
    ),
    (
        F::RecoveryMethod,
        spec(
            Words,
            "Hand, sieve, flotation, metal detector …",
            "recovery method,method,method of recovery,recovery,how found,how recovered,collection \
             method,retrieval,retrieval method,recovered how",
        ),
    ),
    (
        F::State,
        spec(
            Shape::State,
            "Dry, damp or wet as it left the ground.",
            "state on recovery,state,recovered state,wet or dry,wet dry,dry \
             wet,wet,moisture,condition of burial,state when found,state as found",
        ),
    ),
    (
        F::EastingM,
        spec(
            Coordinate,
            "Site or map grid, in m.",
            "easting,eastings,east,e,x,x coord,x coordinate,grid e,grid east,coord e",
        ),
    ),
    (
        F::NorthingM,
        spec(
            Coordinate,
            "Site or map grid, in m.",
            "northing,northings,north,n,y,y coord,y coordinate,grid n,grid north,coord n",
        ),
    ),
    (
        F::HeightM,
        spec(
            Coordinate,
            "Above the project’s datum, in m; may be negative.",
            "height,level,od,aod,m od,m aod,height od,height aod,level od,level aod,ht,ht od,z,z \
             coord,z coordinate,elevation,elev,reduced level,rl,depth od,altitude,od level,aod \
             level,od height",
        ),
    ),
    (
        F::SampleNumber,
        spec(
            Identifier,
            "The sample it came out of.",
            "sample,sample no,sample number,samp,samp no,env sample,env sample no,environmental \
             sample,environmental sample no,sample id,spl no,smp,smp no",
        ),
    ),
    (
        F::LengthMm,
        spec(
            Size(Unit::Millimetre),
            "In mm unless the header or the cell says otherwise.",
            "length,len,l,lgth,max length,lth,dimensions l,dimensions length,size l,size length",
        ),
    ),
    (
        F::WidthMm,
        spec(
            Size(Unit::Millimetre),
            "In mm unless the header or the cell says otherwise.",
            "width,w,wdth,wid,breadth,br,max width,dimensions w,dimensions width,size w,size width",
        ),
    ),
    (
        F::ThicknessMm,
        spec(
            Size(Unit::Millimetre),
            "In mm unless the header or the cell says otherwise.",
            "thickness,thick,th,thk,t,max thickness,thickn,dimensions th,dimensions thickness,size \
             th,size thickness",
        ),
    ),
    (
        F::DiameterMm,
        spec(
            Size(Unit::Millimetre),
            "In mm unless the header or the cell says otherwise.",
            "diameter,diam,dia,d,max diameter,dimensions diam,dimensions diameter,size diam,size \
             diameter",
        ),
    ),
    (
        F::Period,
        spec(
            Words,
            "In words: “Roman”, “late C14”.",
            "period,date range,dating,spot date,provisional date,provisional period,period \
             date,era,age,date period,object date,chronology",
        ),
    ),
    (
        F::CompletenessPct,
        spec(
            Percent,
            "How much of it is there, 0 to 100 %.",
            "completeness,complete,percent complete,how complete,compl,completeness \
             pct,preserved,proportion present",
        ),
    ),
    (
        F::ConditionNote,
        spec(
            Prose,
            "As found; no judgement of the lab.",
            "condition,cond,condition as found,condition note,condition notes,condition on \
             recovery,preservation,state of preservation,condition when found",
        ),
    ),
    (
        F::AccessionNumber,
        spec(
            Identifier,
            "The repository’s number.",
            "accession,accession no,accession number,acc no,acc number,acc,museum no,museum \
             number,repository no,repository number",
        ),
    ),
    (
        F::Place,
        spec(
            Words,
            "Where it is now: building, room, shelf, box.",
            "place,location,current location,store,storage,stored,stored at,where kept,kept \
             at,shelf,box,box no,box number,storage location,store location,present location,where \
             now,current place",
        ),
    ),
    (
        F::Restricted,
        spec(
            YesNo,
            "Yes for human remains and what else few may see.",
            "restricted,human remains,human,sensitive,confidential,hsr,is human",
        ),
    ),
    (
        F::Note,
        spec(
            Prose,
            "Several columns are joined.",
            "note,notes,comment,comments,remark,remarks,other,other notes,observations,additional \
             notes,general notes,misc",
        ),
    ),
];
