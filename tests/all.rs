mod media;
mod report;
